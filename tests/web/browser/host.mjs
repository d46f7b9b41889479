// A host on a free port, Debian's Chromium, and what every browser test needs.

import { spawn, execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, mkdirSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

export const PHONE = { width: 360, height: 740 }, TABLET = { width: 820, height: 1180 }, DESK = { width: 1440, height: 900 };

export function argument(name, otherwise) {
  const at = process.argv.indexOf(name);
  return at < 0 ? otherwise : process.argv[at + 1];
}

let checks = 0;
export function check(what, holds, seen = "") {
  checks += 1;
  if (!holds) throw new Error(`does not hold: ${what}\n${String(seen).slice(0, 3000)}`);
}
export const held = () => checks;

export async function start_host(program) {
  const folder = mkdtempSync(join(tmpdir(), "oddplate-browser-"));
  const book = join(folder, "book.sqlite");
  const host = spawn(program, ["host", "--port", "0", "--book", book, "--json"]);
  host.stderr.on("data", text => process.stderr.write(text));
  const opened = await new Promise((told, failed) => {
    let text = "";
    host.stdout.on("data", part => { text += part; if (text.includes("\n")) told(JSON.parse(text)); });
    host.on("exit", code => failed(new Error(`the host ended with ${code}`)));
  });
  const run = (...words) => execFileSync(program, [...words, "--book", book], { encoding: "utf8" });
  return { ...opened, folder, book, run, stop: async () => {
    await new Promise(done => { host.on("exit", done); host.kill("SIGTERM"); });
    rmSync(folder, { recursive: true });
  } };
}

export function start_browser() {
  return chromium.launch({ executablePath: argument("--chromium", "/usr/bin/chromium"), args: ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"] });
}

/// A browser of its own at a role's link.
export async function come_in(browser, link, viewport = DESK, more = {}) {
  const context = await browser.newContext({ viewport, ...more });
  context.setDefaultNavigationTimeout(90_000);   // twenty phones on a small machine
  const page = await context.newPage();
  page.on("pageerror", error => { throw error; });
  if (link) await page.goto(link);
  return page;
}

/// A plan of one's own, made and drawn on the host's page: the tasting's id and the phones' links.
export async function plan_and_draw(cook, host, plan) {
  await cook.goto(host.address);
  await cook.getByText("Or a plan of your own").click();
  await cook.getByLabel("The plan as JSON").fill(JSON.stringify(plan));
  await cook.locator("details[open]").getByRole("button", { name: "Make it" }).click();
  const tasting = new URL(cook.url()).pathname.split("/")[2];
  await cook.getByRole("button", { name: "Draw the ballots" }).click();
  await cook.getByText("Seal number").first().waitFor();
  await cook.goto(`${host.address}/tasting/${tasting}/links`);
  return { tasting, links: await cook.locator(".cards a").evaluateAll(all => all.map(each => each.href)) };
}

const shots = argument("--shots");
if (shots) mkdirSync(shots, { recursive: true });

/// What axe finds on this screen, in light and dark, at the sizes given; and a picture of each where --shots was given.
export async function look(page, name, sizes = [PHONE, DESK]) {
  const before = page.viewportSize();
  for (const size of sizes)
    for (const colorScheme of ["light", "dark"]) {
      await page.setViewportSize(size);
      await page.emulateMedia({ colorScheme });
      await page.evaluate(axe);
      const found = await page.evaluate(async () => (await globalThis.axe.run(document)).violations.map(each => `${each.id}: ${each.help}: ${each.nodes.map(node => node.html).slice(0, 3).join(" | ")}`));
      check(`axe finds nothing on ${name} at ${size.width} in ${colorScheme}`, found.length === 0, found.join("\n"));
      const wider = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      check(`${name} is not wider than ${size.width}`, wider <= 0, wider);
      if (shots) await page.screenshot({ path: join(shots, `${name}-${size.width}-${colorScheme}.png`), fullPage: true });
    }
  await page.emulateMedia({ colorScheme: "light" });
  if (before) await page.setViewportSize(before);
}
