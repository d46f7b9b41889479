// When a slow phone shows something: Chromium slowed down as mobile audits do (the processor to a quarter, 150 ms a round trip, 1.6 Mbit/s down, 0.75 up), nothing
// kept from before, ten visits a page. Timings are printed, never asserted.
//
//     node tests/bench/first_paint.mjs --program BUILD/oddplate     (npm ci in tests/web/browser first)

import { argument, come_in, PHONE, plan_and_draw, start_browser, start_host } from "../web/browser/host.mjs";

const VISITS = 10;
const PLAN = { title: "t", versions: [{ id: "current" }, { id: "new" }], tasters: 60, rounds: [{ method: "triangle", spots: ["flat edge", "flat centre", "point", "burnt end"] }] };

const host = await start_host(argument("--program"));
const browser = await start_browser();
const cook = await come_in(browser, host.links.host);
const { tasting, links } = await plan_and_draw(cook, host, PLAN);

async function visit(url, role) {
  const page = await come_in(browser, role ?? "", PHONE);
  const session = await page.context().newCDPSession(page);
  await session.send("Network.enable");
  await session.send("Network.setCacheDisabled", { cacheDisabled: true });
  await session.send("Network.emulateNetworkConditions", { offline: false, latency: 150, downloadThroughput: 1.6e6 / 8, uploadThroughput: 0.75e6 / 8 });
  await session.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  let bytes = 0;
  session.on("Network.loadingFinished", each => { bytes += each.encodedDataLength; });
  await page.goto(url, { waitUntil: "load" });
  const paint = await page.evaluate(() => new Promise(told => new PerformanceObserver(list => told(list.getEntries()[0].startTime)).observe({ type: "paint", buffered: true })));
  await page.context().close();
  return { paint, bytes };
}

for (const [what, url, role] of [["a taster's tray", links[0]], ["the runner's board, 60 people", `${host.address}/tasting/${tasting}/board`, host.links.runner],
  ["the plan", `${host.address}/plan`, host.links.host]]) {
  const visits = [];
  for (let n = 0; n < VISITS; ++n) visits.push(await visit(url, role));
  const paints = visits.map(each => each.paint).sort((a, b) => a - b);
  console.log(`${what}: first paint after ${Math.round(paints[VISITS / 2])} ms (median of ${VISITS}), slowest ${Math.round(paints[VISITS - 1])} ms; ${(visits[0].bytes / 1000).toFixed(1)} kB on the wire`);
}
await browser.close();
await host.stop();
