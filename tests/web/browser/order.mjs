// Several recipes in Chromium: codes tapped in order on a phone (and one taken out again), by keyboard, and as numbers where there is no script; a recipe that
// runs out at the board; close and verdict. Every screen is held against axe.
//
//     node order.mjs --program BUILD/oddplate [--shots FOLDER]

import { readFileSync } from "node:fs";

import { argument, check, come_in, DESK, held, look, PHONE, plan_and_draw, start_browser, start_host } from "./host.mjs";

const PLAN = {
  title: "Four cures: which is liked most?", versions: [{ id: "usual", label: "the usual cure" }, { id: "maple", label: "with maple" }, { id: "juniper", label: "with juniper" }, { id: "pepper", label: "with pepper" }],
  tasters: 8, spares: 2, allergens: ["celery"], grams: 8, pieces: 2, rounds: [{ method: "ranking" }],
};

const host = await start_host(argument("--program"));
const browser = await start_browser();

// Plan, draw, a ballot at the desk and close, with the keyboard alone: Tab until the thing is in focus, then the key that it takes.
{
  const keys = await come_in(browser, host.links.host);
  const reach = async what => {
    for (let i = 0; i < 80; ++i) {
      await keys.keyboard.press("Tab");
      if (await keys.evaluate(words => { const at = document.activeElement; return [at?.textContent, at?.closest("label")?.textContent, at?.getAttribute("name")].some(text => text?.includes(words)); }, what)) return;
    }
    throw new Error(`Tab does not come to ${what}: ${await keys.locator("main").innerText()}`);
  };
  const press = async (what, key) => { await reach(what); await Promise.all([keys.waitForNavigation(), keys.keyboard.press(key)]); };
  await press("Plan a tasting", "Enter");
  await reach("Will they notice?");
  await keys.keyboard.press("ArrowRight");
  check("arrows choose the question", await keys.getByLabel("Can we get away with it?").isChecked());
  await reach("people");
  for (let i = 0; i < 3; ++i) await keys.keyboard.press("ArrowRight");
  check("arrows move a slider", (await keys.locator("input[name=people]").inputValue()) === "27");
  await press("Make this plan", "Enter");
  await press("Draw the ballots", "Space");
  const id = new URL(keys.url()).pathname.split("/")[2];
  await press("Desk: paper slips", "Enter");
  await reach("ballot");
  await keys.keyboard.type("1");
  await Promise.all([keys.waitForNavigation(), keys.keyboard.press("Enter")]);
  const code = JSON.parse(host.run("ballots", id, "--json"))[0].sets[0].codes[1];
  await keys.keyboard.type(code);   // a full code goes on to the next box
  await keys.keyboard.press("Tab");
  await Promise.all([keys.waitForNavigation(), keys.keyboard.press("Enter")]);
  check("a slip is kept by typing", (await keys.locator("main").innerText()).includes("Kept: ballot 1"), await keys.content());
  await keys.goto(`${host.address}/tasting/${id}`);
  await press("Close", "Enter");
  await press("lose", "Enter");
  check("closed with the keyboard alone", new URL(keys.url()).pathname.endsWith("/verdict"), keys.url());
  await reach("What do these numbers mean?");
  await keys.keyboard.press("Enter");
  check("a fold opens by keyboard", await keys.locator("details.why").first().evaluate(fold => fold.open));
}

const cook = await come_in(browser, host.links.host);
await cook.goto(`${host.address}/plan`);
await cook.getByLabel("Several: is any worse than the usual?").check({ force: true });
await cook.getByLabel("The recipes, the usual one first").fill("usual cure, with maple, with juniper, with pepper");
await cook.getByLabel("Whole pieces (or batches) of each recipe").fill("4");
await cook.locator("[data-answer]", { hasText: "on each of the 3 other recipes" }).waitFor();
check("what is about two recipes is not asked", !(await cook.getByLabel("How many in ten may notice before it matters?").isVisible()) && !(await cook.getByLabel("Salt of the new one, %").isVisible()));
await look(cook, "plan-several");
await cook.getByRole("button", { name: "Make this plan" }).click();
check("a plan of several recipes is made", (await cook.locator("main").innerText()).includes("Is any of them worse than the usual recipe?"), await cook.content());
const { tasting, links } = await plan_and_draw(cook, host, PLAN);
const codes = JSON.parse(host.run("ballots", tasting, "--json")).map(ballot => ballot.sets[0].codes);

const kept = async page => { await page.getByRole("button", { name: "Keep my answer" }).click(); };
const finish = async page => {   // the last box: no
  await page.locator("label.ticket").first().click();
  await kept(page);
  await page.getByText("All done").waitFor();
};
const place = (page, code) => page.locator("[data-order] label", { hasText: code }).locator("input");

const phone = await come_in(browser, "", PHONE);
await phone.goto(links[0]);
await look(phone, "order-tray", [PHONE, DESK]);
const [a, b, c, d] = codes[0];
for (const code of [c, a, d]) await phone.locator("[data-order] label", { hasText: code }).click();
check("codes get the places in which they are tapped", (await place(phone, d).inputValue()) === "3");
await phone.locator("[data-order] label", { hasText: c }).click();
check("a second tap takes one out and the others move up", (await place(phone, c).inputValue()) === "" && (await place(phone, a).inputValue()) === "1");
for (const code of [c, b]) await phone.locator("[data-order] label", { hasText: code }).click();
await look(phone, "order-tapped", [PHONE]);
await kept(phone);
await phone.waitForFunction(() => !document.querySelector("[data-order]"));
await finish(phone);

const keys = await come_in(browser, "", DESK);
await keys.goto(links[1]);
for (const code of codes[1]) { await place(keys, code).focus(); await keys.keyboard.press("Space"); }
await kept(keys);
await keys.waitForFunction(() => !document.querySelector("[data-order]"));
await finish(keys);

const bare = await come_in(browser, "", PHONE, { javaScriptEnabled: false });
await bare.goto(links[2]);
for (const [i, code] of [...codes[2]].reverse().entries()) await bare.locator(`input[name="of-${code}"]`).fill(String(i + 1));
await kept(bare);
await bare.locator("label.ticket").first().click();
await kept(bare);
check("a phone without script comes through", (await bare.locator("main").innerText()).includes("All done"));

// Two phones were opened while all recipes were served; one has a tray in its hand without one of them.
const early = await come_in(browser, "", PHONE), other = await come_in(browser, "", PHONE);
for (const [i, page] of [early, other].entries()) {
  await page.goto(links[3 + i]);
  for (const code of codes[3 + i].slice(1)) await page.locator("[data-order] label", { hasText: code }).click();
}
await kept(early);
check("three of four are held out for while four are served", await early.locator("[data-order]").isVisible() && await early.locator("[data-may-lack]").count() === 0);

await cook.goto(`${host.address}/tasting/${tasting}/board`);
await cook.getByText("Something happened").click();
const form = cook.locator("form", { has: cook.getByRole("heading", { name: "A recipe has run out" }) });
check("recipes that are served stand to choose from", (await form.getByLabel("Recipe").locator("option").allInnerTexts()).length === 5);
await form.getByLabel("Recipe").selectOption("with pepper");
await form.getByLabel("Why").fill("sold out");
await form.getByRole("button").click();
await cook.waitForLoadState();
const exported = host.run("ballots", tasting, "--json");
check("the room still sees codes alone", !exported.includes("pepper"));
for (const page of [early, other]) {
  await kept(page);   // the page asks the host anew before it holds out for a portion
  await page.getByText("One portion missing on your tray? Leave it out.").waitFor();
  check("nothing on the page tells which", !(await page.content()).includes("pepper"));
}
await kept(early);
await finish(early);
const late = await come_in(browser, "", PHONE);
await late.goto(links[5]);
await look(late, "order-lacking", [PHONE]);
await other.locator("[data-order] label", { hasText: codes[4][3] }).click();   // taken out again: two of four are too few
await kept(other);
check("one portion may lack, not two", await other.locator("[data-order]").isVisible());
await other.locator("[data-order] label", { hasText: codes[4][0] }).click();
await kept(other);
await finish(other);
await cook.goto(`${host.address}/tasting/${tasting}`);
check("the host's page says how far it is", (await cook.locator("main").innerText()).includes("5 of 8 planned trays answered.") && (await cook.locator("main").innerText()).includes("with pepper has run out: sold out."), await cook.content());
await look(cook, "so-far", [PHONE, DESK]);
await cook.getByText("Next: 3 trays are still to come").getByRole("link", { name: "Runner's board" }).click();
check("planned ballots apart from spares", (await cook.locator("[data-live] .lead").innerText()) === "5 of 8 planned ballots done; 2 spare", await cook.locator("main").innerText());
await cook.getByText("Something happened").click();
await cook.locator("form", { has: cook.getByRole("heading", { name: "Spoil a ballot" }) }).getByLabel("Ballot number").fill("99");
await cook.locator("form", { has: cook.getByRole("heading", { name: "Spoil a ballot" }) }).getByLabel("Why").fill("dropped");
await cook.locator("form", { has: cook.getByRole("heading", { name: "Spoil a ballot" }) }).getByRole("button").click();
await cook.getByText("Not done: Spoil a ballot.").waitFor();
check("what was refused stays to be mended", (await cook.locator("form", { has: cook.getByRole("heading", { name: "Spoil a ballot" }) }).getByLabel("Why").inputValue()) === "dropped");
await look(cook, "board-refused", [PHONE, DESK]);

host.run("close", tasting, "--yes");
const judged = JSON.parse(host.run("judge", tasting, "--json"));
check("the orders are kept as they were given", judged.rounds[0].pooled.answers >= 3, JSON.stringify(judged.rounds[0].pooled));
check("and as they were tapped", host.run("export", tasting, `${host.folder}/kept.json`) !== undefined && JSON.stringify(JSON.parse(readFileSync(`${host.folder}/kept.json`, "utf8"))).includes(`${a}>${d}>${c}>${b}`));
await cook.goto(`${host.address}/tasting/${tasting}/verdict`);
await look(cook, "order-verdict");

// What a phone of 390 points shows: pictures that fit, codes and steps that stand as they lie, and no raw marks said back.
const NARROW = { width: 390, height: 844 };
host.run("report", tasting, "--into", `${host.folder}/report`);
const reader = await come_in(browser, "", NARROW);
for (const [what, from, address] of [["the host's page", cook, `${host.address}/tasting/${tasting}/verdict`], ["verdict.html", reader, `file://${host.folder}/report/verdict.html`]]) {
  await from.setViewportSize(NARROW);
  await from.goto(address);
  const wide = await from.evaluate(() => [...document.querySelectorAll("svg")].map(svg => svg.getBoundingClientRect()).filter(box => box.right > innerWidth || box.left < 0).length);
  check(`every picture of ${what} fits`, wide === 0 && (await from.locator("figure svg").count()) > 0, wide);
  const letters = await from.evaluate(() => [...document.querySelectorAll("figure svg text")].filter(each => each.getBoundingClientRect().height > 0).map(each => each.getScreenCTM().a * Number(each.getAttribute("font-size"))));
  check(`words in the pictures of ${what} can be read`, letters.length > 8 && Math.min(...letters) >= 11, letters);
  check(`none of ${what} has to be pushed aside`, await from.evaluate(() => [...document.querySelectorAll("figure, .picture")].every(each => each.scrollWidth <= each.clientWidth)));
}
await cook.setViewportSize(DESK);
const { tasting: three, links: few } = await plan_and_draw(cook, host, { title: "Three", versions: PLAN.versions.slice(0, 3), tasters: 3, spares: 1, pieces: 2, rounds: [{ method: "ranking" }, { method: "rating" }] });
const narrow = await come_in(browser, "", NARROW);
await narrow.goto(few[0]);
const places = at => narrow.locator("main section").last().locator(at).evaluateAll(all => all.map(each => { const box = each.getBoundingClientRect(); return [Math.round(box.top), Math.round(box.width)]; }));
const one_row = async at => { const all = await places(at); return all.length > 1 && new Set(all.map(([top]) => top)).size === 1 && Math.max(...all.map(([, width]) => width)) - Math.min(...all.map(([, width]) => width)) <= 1; };
check("three codes stand side by side, of one size", await one_row("[data-order] label"), JSON.stringify(await places("[data-order] label")));
await look(narrow, "three-codes", [NARROW]);
for (const label of await narrow.locator("[data-order] label").all()) await label.click();
await kept(narrow);
await narrow.locator('main section[data-tray="2"]').waitFor();
check("the steps of a scale stand in one row", await one_row("[data-portion]:first-of-type .step"), JSON.stringify(await places("[data-portion]:first-of-type .step")));
const ends = await narrow.locator("main section").last().locator(".ends").first().locator("span").evaluateAll(all => all.map(each => { const box = each.getBoundingClientRect(); return [box.left, box.right, each.textContent]; }));
check("the words of both ends stand at the ends", ends.length === 2 && ends[0][0] < 20 && ends[1][1] > 370 && ends.every(([, , word]) => word), JSON.stringify(ends));
await look(narrow, "scale-row", [NARROW]);
for (const portion of await narrow.locator("main section").last().locator("[data-portion]").all()) await portion.locator("label").nth(4).click();
await kept(narrow);
await narrow.getByText("Before you tasted").waitFor();
await narrow.getByText("Kept. Tray 2.", { exact: true }).waitFor();

// A recipe said to have run out by mistake: a page that was told so is told otherwise too.
const misled = await come_in(browser, "", PHONE);
await misled.goto(few[1]);
const ask_anew = () => misled.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
host.run("withdraw", three, "--version", PLAN.versions[1].id, "--why", "sold out");
await ask_anew();
await misled.getByText("Leave it out.").waitFor();
host.run("withdraw", three, "--version", PLAN.versions[1].id, "--why", "it is there", "--back");
await ask_anew();
await misled.locator("section [data-withdrawn]").waitFor({ state: "detached" });
for (const label of (await misled.locator("[data-order] label").all()).slice(1)) await label.click();
await kept(misled);
check("all portions are held out for again", await misled.locator("[data-order]").isVisible());

// A page that is closed half-way has its taps again when it is opened again; another ballot on the same phone has none of them.
const shared = misled.context();
await misled.goto(few[2]);
const labels = page => page.locator("[data-order] label");
for (const label of (await labels(misled).all()).slice(1)) await label.click();
const tapped = page => page.locator("[data-order] input").evaluateAll(all => all.map(box => box.value).join(" "));
check("two are tapped", (await tapped(misled)) === " 1 2", await tapped(misled));
await misled.close();
const beside = await shared.newPage();
await beside.goto(few[3]);
check("another ballot on the same phone shows no taps of the last one", (await tapped(beside)) === "  ", await tapped(beside));
const again = await shared.newPage();
await again.goto(few[2]);
check("the taps are there again", (await tapped(again)) === " 1 2", await tapped(again));
await labels(again).first().click();
await kept(again);
await again.locator('main section[data-tray="2"]').waitFor();
check("no tap of a tray that was sent stays on the phone", (await again.evaluate(path => localStorage.getItem("oddplate half " + path), new URL(few[2]).pathname + "/1")) === null);
for (const portion of (await again.locator("main section").last().locator("[data-portion]").all()).slice(1)) await portion.locator("label").nth(4).click();
await again.close();
const once_more = await shared.newPage();
await once_more.goto(few[2]);
check("steps of a scale as well", (await once_more.locator("main section input:checked").count()) === 2);

// Marks for each, and too little or too much, on one phone with script and one without.
const { tasting: marks, links: marked } = await plan_and_draw(cook, host, { title: "How much?", versions: PLAN.versions.slice(0, 3), tasters: 3, spares: 1, pieces: 2, rounds: [
  { method: "rating", scale: 5, scale_words: "dislike it much|dislike it|neither|like it|like it much" }, { method: "just-about-right", attributes: "salt, smoke" }, { method: "check-all", words: "salty, sweet, smoky, dry" }] });

/// Ticks the nth step of every scale on the tray and keeps it.
async function tick_all(page, nth) {
  const groups = await page.locator("main section").last().locator("fieldset").count();
  for (let group = 0; group < groups; ++group) await page.locator("main section").last().locator("fieldset").nth(group).locator("label").nth(nth % (await page.locator("main section").last().locator("fieldset").nth(group).locator("label").count())).click();
  await kept(page);
}
for (const [i, more] of [{}, { javaScriptEnabled: false }].entries()) {
  const page = await come_in(browser, "", PHONE, more);
  await page.goto(marked[i]);
  if (i === 0) await look(page, "marks-tray", [PHONE, DESK]);
  await tick_all(page, 3);
  if (i === 0) await page.locator('main section[data-tray="2"]').waitFor();
  if (i === 0) await look(page, "levels-tray", [PHONE, DESK]);
  await tick_all(page, 4);
  if (i === 0) await page.locator('main section[data-tray="3"]').waitFor();
  if (i === 0) await look(page, "words-tray", [PHONE, DESK]);
  const portions = page.locator("main section").last().locator("fieldset.levels");
  for (const word of ["salty", "dry"]) await portions.first().locator("label", { hasText: word }).click();
  await portions.nth(1).locator("label", { hasText: "sweet" }).click();
  if (i === 0) {
    await kept(page);   // one portion has no tick yet
    check("each portion wants a word or the box beside them", await portions.last().isVisible());
    await portions.nth(1).locator("label", { hasText: "none of these" }).click();
    check("none of these takes the words back", !(await portions.nth(1).locator("label", { hasText: "sweet" }).locator("input").isChecked()));
  } else {
    await portions.nth(1).locator("label", { hasText: "sweet" }).click();
    await portions.nth(1).locator("label", { hasText: "none of these" }).click();
  }
  await portions.nth(2).locator("label", { hasText: "none of these" }).click();
  await kept(page);
  if (i === 0) await page.getByText("Before you tasted").waitFor();
  await page.locator("label.ticket").first().click();
  await kept(page);
  if (i === 0) await page.getByText("All done").waitFor();
  check("marks and levels come through", (await page.locator("main").innerText()).includes("All done"), await page.content());
}
host.run("close", marks, "--yes");
const rounds = JSON.parse(host.run("judge", marks, "--json")).rounds;
check("two people marked three recipes each, thrice", rounds.every(round => round.tally.counted === 2), JSON.stringify(rounds.map(round => round.tally)));
check("the marks are the ones that were ticked", rounds[0].pooled.samples.every(sample => sample.mean === 4), JSON.stringify(rounds[0].pooled.samples));

check("the words are the ones that were ticked", rounds[2].pooled.ticks.filter(row => ["salty", "dry"].includes(row.word)).reduce((sum, row) => sum + row.ticks, 0) === 4
  && rounds[2].pooled.ticks.filter(row => !["salty", "dry"].includes(row.word)).every(row => row.ticks === 0), JSON.stringify(rounds[2].pooled.ticks));

await browser.close();
await host.stop();
console.log(`${held()} promises hold`);
