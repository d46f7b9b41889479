// Every page that the tests over HTTP come across, and the report's own page, held against the HTML standard as the host sent them.
//
//     node markup.mjs --program BUILD/oddplate --python python3

import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { HtmlValidate } from "html-validate";
import { argument, check, held } from "./host.mjs";

const RUNS = ["whole_tasting.py", "ran_out.py", "evenings.py", "turned.py", "phone_test.py", "sizes.py"];
// What a browser has to make sense of, and what a screen reader needs; not how the text of a page is laid out.
// The validator counts <details> as sectioning content and so forbids it in a row's heading; the standard (3.2.5.2.3) counts article, aside, nav and section.
const RULES = { root: true, extends: ["html-validate:standard", "html-validate:a11y"], elements: ["html5", { details: { inherit: "details", sectioning: false } }] };
const MUST_BE_AMONG = ["start", "plan", "book", "board", "desk", "links", "close", "verdict", "kitchen"];

const web = dirname(dirname(fileURLToPath(import.meta.url))), folder = mkdtempSync(join(tmpdir(), "oddplate-markup-"));
try {
  const told = { env: { ...process.env, ODDPLATE_KEEP_PAGES: folder }, stdio: "inherit" };
  for (const run of RUNS) execFileSync(argument("--python", "python3"), ["-B", join(web, run), "--program", argument("--program")], told);
  execFileSync(argument("--program"), ["demo", "--into", join(folder, "demo")], { stdio: "ignore" });
  const files = [...readdirSync(folder).filter(name => name.endsWith(".html")), join("demo", "9-the-report", "verdict.html")];
  for (const kind of MUST_BE_AMONG) check(`a page of the kind ${kind} was seen`, files.some(name => name.includes(kind)), files.join(" "));
  const standard = new HtmlValidate(RULES);
  check("what is wrong is found", !(await standard.validateString('<!doctype html><html lang="en"><head><title>t</title></head><body><p><div>x</div></p></body></html>')).valid);
  const wrong = new Map();
  for (const name of files) {
    const report = await standard.validateString(readFileSync(join(folder, name), "utf8"), name);
    for (const each of report.results.flatMap(result => result.messages)) {
      const what = `${each.ruleId}: ${each.message} (${each.selector})`;
      wrong.set(what, [...wrong.get(what) ?? [], name]);
    }
    check(`${name} was read`, readFileSync(join(folder, name), "utf8").startsWith("<!doctype html>"));
  }
  check("every page is valid", wrong.size === 0, [...wrong].map(([what, names]) => `${what}\n    ${names.slice(0, 3).join(", ")}`).join("\n"));
  console.log(`${files.length} pages are as the HTML standard wants them: ${held()} checks hold`);
} finally {
  rmSync(folder, { recursive: true });
}
