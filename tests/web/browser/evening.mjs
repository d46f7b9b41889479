// One tasting wholly in Chromium: 24 tasters, four spots; 21 phones (one without script, one that loses its network), two paper ballots at the desk, a spill, a
// no-show, a late guest, close, verdict and its files. Every screen is held against axe on the way.
//
//     node evening.mjs --program BUILD/oddplate [--shots FOLDER]

import { argument, check, come_in, DESK, held, look, PHONE, start_browser, start_host, TABLET } from "./host.mjs";

const PLAN = {
  title: "Less salt in the cure, and does anybody notice it on any of the four spots", versions: [{ id: "current", label: "usual cure" }, { id: "new", label: "cure with a fifth less salt" }],
  tasters: 24, spares: 2, alpha: 0.05, allergens: ["milk", "mustard"], grams: 10,
  rounds: [{ method: "triangle", spots: ["flat edge", "flat centre", "point", "burnt end"], detect_pd: 0.4 }],
};

const program = argument("--program");
const host = await start_host(program);
const browser = await start_browser();
const link = role => host.links[role];

/// Taps the nth code on each tray that is asked, until the page says that all is done.
async function answer_all(page, url, nth) {
  await page.goto(url);
  for (let tray = 0; tray < 5; ++tray) {
    const section = page.locator("main section").last();
    await section.locator("label.ticket").nth(nth % 3).click();
    await section.getByRole("button", { name: "Keep my answer" }).click();
    if (tray < 4) await page.waitForFunction(done => document.querySelector("main section")?.getAttribute("data-tray") !== done, String(tray + 1));
    nth = tray === 3 ? 0 : nth;   // the last box has two answers: no
  }
  await page.getByText("All done").waitFor();
  await page.getByText("Kept. Tray 4").waitFor();   // a phone that is put away before it has sent keeps the rest to itself
}

const cook = await come_in(browser, link("host"));
await look(cook, "start-empty");
await cook.getByRole("link", { name: "Plan a tasting" }).click();
await cook.getByLabel("How many people come?").fill("40");
await cook.waitForFunction(() => document.querySelector("[data-answer]")?.textContent?.includes("40"));
check("the plan answers as the slider moves", (await cook.locator("[data-answer]").innerText()).includes("40"));
await look(cook, "plan", [PHONE, TABLET, DESK]);
await cook.getByLabel("Do they like it more?").check({ force: true });
await cook.getByLabel("Spots on the cut").fill("edge, centre");
await cook.getByRole("button", { name: "Make this plan" }).click();
check("a plan of the page's questions is made", (await cook.locator("h1").innerText()) === "A new recipe", await cook.content());
await look(cook, "planned");

await cook.goto(host.address);
await cook.getByText("Or a plan of your own").click();
await cook.getByLabel("The plan as JSON").fill(JSON.stringify(PLAN));
await cook.locator("details[open]").getByRole("button", { name: "Make it" }).click();
const tasting = new URL(cook.url()).pathname.split("/")[2];
await cook.getByRole("button", { name: "Draw the ballots" }).click();
await cook.getByText("Seal number").first().waitFor();
await look(cook, "drawn");
await cook.goto(`${host.address}/tasting/${tasting}/links`);
const links = await cook.locator(".cards a").evaluateAll(all => all.map(each => each.href));
check("each ballot has its link, the spares too", links.length === 26, links.length);
await look(cook, "links");

const ballots = JSON.parse(host.run("ballots", tasting, "--json"));
const runner = await come_in(browser, link("runner"));
await runner.goto(`${host.address}/tasting/${tasting}/board`);
const phones = [];
for (let b = 0; b < 20; ++b) phones.push((async () => {
  const page = await come_in(browser, "", PHONE);
  if (b === 0) { await page.goto(links[b]); await look(page, "phone-tray", [PHONE, DESK]); }
  await answer_all(page, links[b], b);
  if (b === 0) await look(page, "phone-done", [PHONE]);
  await page.context().close();
})());
await Promise.all(phones);

const bare = await come_in(browser, "", PHONE, { javaScriptEnabled: false });
await bare.goto(links[20]);
for (let tray = 0; tray < 5; ++tray) {
  await bare.locator("label.ticket").first().click();
  await bare.getByRole("button", { name: "Keep my answer" }).click();
}
check("a phone without script comes through", (await bare.locator("main").innerText()).includes("All done"), await bare.content());

const german = await come_in(browser, "", PHONE, { locale: "de-AT" });
await german.goto(links[22]);
check("a phone picks its own language", (await german.getAttribute("html", "lang")) === "de" && !(await german.locator("main").innerText()).includes("Keep my answer"), await german.content());
await look(german, "phone-german", [PHONE]);
const lost = await come_in(browser, "", PHONE);
await lost.goto(links[21]);
await lost.context().setOffline(true);
for (let tray = 0; tray < 3; ++tray) {
  await lost.locator("main section").last().locator("label.ticket").nth(1).click();
  await lost.getByRole("button", { name: "Keep my answer" }).click();
}
await lost.getByText("safe on this phone").waitFor();
check("nothing of it reached the host", JSON.parse(host.run("tastings", "--json")).length === 2 && (await lost.locator(".big").last().innerText()).includes("Tray 4"), await lost.content());
await look(lost, "phone-offline", [PHONE]);
await lost.context().setOffline(false);
await lost.getByText("Kept. Tray 3").waitFor({ timeout: 20000 });
await lost.locator("main section").last().locator("label.ticket").first().dblclick();
await lost.getByRole("button", { name: "Keep my answer" }).dblclick();
await lost.reload();
check("a reload goes on where the phone was", (await lost.locator("main").innerText()).match(/before you tasted/i), await lost.locator("main").innerText());

// Ballots 23 and 24 on paper; ballot 24's guest spills the tray and gets ballot 25, the first for late guests; 26 stays on the stack.
await runner.getByText("Something happened").click();
const form = name => runner.locator(".acts form").filter({ has: runner.getByRole("heading", { name }) });
await form("Spoil a ballot").getByLabel("Ballot number").fill("24");
await form("Spoil a ballot").getByLabel("Why").fill("the tray fell down");
await form("Spoil a ballot").getByRole("button").click();
await runner.getByText("Something happened").click();
await form("Hand out a ballot").getByLabel("Ballot number").fill("25");
await form("Hand out a ballot").getByLabel("Nickname").fill("Ko");
await form("Hand out a ballot").getByRole("button").click();
await runner.getByText(/2[12] of 24 planned ballots done; 2 spare/).waitFor();
await look(runner, "board", [PHONE, TABLET, DESK]);

const desk = await come_in(browser, link("desk"));
await desk.goto(`${host.address}/tasting/${tasting}/desk`);
for (const ballot of [23, 25]) {
  await desk.getByLabel("Ballot number").fill(String(ballot));
  await desk.keyboard.press("Enter");
  await desk.getByRole("heading", { name: `Ballot ${ballot}` }).waitFor();
  if (ballot === 23) {
    await desk.keyboard.type("100");
    await desk.getByText("Not on this tray").first().waitFor();
    await look(desk, "desk-wrong-code");
    await desk.getByLabel("Tray 1").fill("");
  }
  for (const tray of ballots[ballot - 1].sets) await desk.keyboard.type(tray.codes[ballot % 3]);   // each full code goes on to the next box
  await desk.keyboard.press("Tab");
  await desk.keyboard.press("Enter");
  await desk.getByText(`Kept: ballot ${ballot}.`).waitFor();
}
await desk.getByLabel("Ballot number").fill("1");
await desk.keyboard.press("Enter");
await desk.getByLabel("Tray 1").fill(ballots[0].sets[0].codes[1]);
await desk.keyboard.press("Enter");
await desk.getByRole("button", { name: "Keep this ballot" }).click();
await desk.getByText("What does the slip say?").waitFor();
await look(desk, "desk-differ");
await desk.getByRole("button", { name: "stands" }).click();

const kitchen = await come_in(browser, link("kitchen"), TABLET);
await kitchen.goto(`${host.address}/tasting/${tasting}/kitchen/letters`);
await kitchen.locator("label.cup").first().click();
await kitchen.reload();
check("a tick stays after a reload", await kitchen.locator("[data-tick]").first().isChecked());
await look(kitchen, "kitchen", [PHONE, TABLET]);

await runner.getByText(/of 24 planned ballots done; 1 of 2 spare/).waitFor();
await cook.goto(`${host.address}/tasting/${tasting}/close`);
await look(cook, "close");
await cook.getByRole("button", { name: "Close and open the list of codes" }).click();
await cook.getByRole("heading", { level: 1 }).waitFor();
check("the verdict stands on the page", (await cook.locator("figure svg").count()) > 0, await cook.content());
await look(cook, "verdict", [PHONE, TABLET, DESK]);
await cook.goto(`${host.address}/book`);
await look(cook, "book");
await cook.goto(host.address);
await look(cook, "start");

await browser.close();
await host.stop();
console.log(`a whole tasting in Chromium: ${held()} checks hold`);
