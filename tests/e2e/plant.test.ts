import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireCharacteristic, WireFlag, WireRunSheet } from "../../api/contract/wire.ts";
import { historyLines } from "../../simulator/history.ts";
import { eventually } from "../eventually.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { keepPicture, openBrowser, openSession, overhang, type Session, seriousFindings, sizes } from "./browser.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// The simulated plant against the real product: its past imported, limits frozen from it, its last hour sent faster
// than time and then live, with two faults switched on. The tests are one story and run in their order.
const minuteMs = 60_000;
const folder = temporaryFolder();
let site: RunningSite;
let plant: RunningProcess;
let browser: Browser;
const sessions: Session[] = [];

beforeAll(async () => {
  const key = { seed: 11, firstMs: Math.floor(Date.now() / 1000) * 1000 - 60 * minuteMs };
  const fromMs = key.firstMs - 40 * 24 * 60 * minuteMs;
  const csv = join(folder.path, "past-runs.csv");
  writeFileSync(csv, `${[...historyLines(key, fromMs, key.firstMs)].join("\n")}\n`);

  site = await startSite();
  await site.command("import-runs", csv);
  const window = ["--from", new Date(fromMs).toISOString(), "--to", new Date(key.firstMs).toISOString()];
  const people = ["--proposed-by", "process engineer", "--agreed-by", "works manager"];
  await site.command("freeze-limits", "--all", ...window, ...people, "--reason", "a past without a fault");

  const first = new Date(key.firstMs).toISOString();
  plant = startNode([
    "dist/simulator/main.js",
    ...["--url", site.mqttUrl, "--seed", String(key.seed), "--speed", "live", "--first", first, "--from", first],
    ...["--fault", "cold-metal@PO-A@40min", "--fault", "silent@GW-AO@59min"],
  ]);
  browser = await openBrowser();
});

afterAll(async () => {
  await Promise.allSettled([browser?.close(), plant?.stop()]);
  await site?.stop();
  folder.remove();
});

test("a fault in the plant becomes a flag on the Floor, against limits that two people froze", async () => {
  const { page } = await session();
  await page.goto("/");
  // Where ten flags and more come at once, the Floor names their stations in one panel, and the list is on Flags.
  const flood = page.locator("[data-flood]", { hasText: "PO-A" });
  await flagOf(page, "cold").or(flood).first().waitFor({ timeout: 120_000 });
  if ((await flood.count()) > 0) await page.goto("/flags");
  const words = await flagOf(page, "cold").innerText();
  for (const part of [/PO-A metal too cold/, /OFW-21\d\d/, /7\d\d\.\d/, /limit|spec/, /Re-dip/])
    expect(words).toMatch(part);
});

test("the evidence is one step away: the sentence names value, limit and since when, the trace lies over those before", async () => {
  const { page } = await session();
  await page.goto("/flags");
  await flagOf(page, "cold").getByRole("link", { name: "Why it flagged" }).click();
  const why = page.locator("[data-evidence]");
  await why.waitFor();
  await expect
    .poll(() => why.innerText())
    .toMatch(/stood at 7\d\d\.\d\s?°C, below the (low limit|specification) 7\d\d\.\d/);
  await expect.poll(() => why.innerText()).toMatch(/in force since/);
  await why.getByRole("link", { name: /Run Sheet/ }).click();
  await page.waitForSelector("article[data-run]");
  for (const trace of ["now", "before"]) {
    const path = page.locator(`.traces svg path.${trace}`).first();
    await path.waitFor({ state: "attached" });
    expect((await path.getAttribute("d"))?.length, trace).toBeGreaterThan(100);
  }
});

test("Take it is seen by a second session within 2 s", async () => {
  const [here, there] = [await session(), await session()];
  for (const { page } of [here, there]) {
    await page.goto("/flags");
    await flagOf(page, "cold").waitFor();
  }
  await flagOf(here.page, "cold")
    .getByRole("button", { name: /^Take it/ })
    .click();
  await flagOf(here.page, "cold").locator("form.take-form select").selectOption({ label: "Night lead" });
  await flagOf(here.page, "cold").locator("input[name=pin]").fill("5555");
  const pressed = performance.now();
  await flagOf(here.page, "cold").locator("button[type=submit]").click();
  await flagOf(there.page, "cold")
    .getByText(/aken by Night lead/)
    .waitFor({ timeout: 60_000 });
  const tookMs = performance.now() - pressed;
  // What a page takes to load here and now is what a promise in seconds is held against on a machine that is shared.
  const from = performance.now();
  await there.page.goto("/flags");
  await flagOf(there.page, "cold").waitFor();
  const loadMs = performance.now() - from;
  console.log(
    `with the plant running, Take it was seen by the other session after ${Math.round(tookMs)} ms; a page loads in ${Math.round(loadMs)}`,
  );
  expect(tookMs).toBeLessThan(2_000 + 2 * loadMs);
});

test("three thermocouples on one silent gateway are one flag, and their strip is hatched", async () => {
  const { page } = await session();
  await page.goto("/");
  const oven = page.locator("a[data-station=AO-1]");
  await eventually("the oven is stale", async () => (await oven.getAttribute("data-fresh")) === "stale", 90_000);
  await expect.poll(() => oven.innerText()).toMatch(/no news for/);
  // On the Flags page: the Floor gathers its list into one panel when many flags come at once.
  await page.goto("/flags");
  await page.locator("li[data-label=F]", { hasText: "AO" }).waitFor({ timeout: 120_000 });
  const { items } = await site.ask<{ items: WireFlag[] }>("/api/flags?state=open");
  const ofOven = items.filter(({ station, characteristic }) => station === "AO-1" && characteristic === null);
  expect(ofOven.map(({ label, says }) => [label, says])).toEqual([["instrument-fault", "nothing from GW-AO"]]);
}, 400_000);

test("limits rest on what was imported, and stand where they were put", async () => {
  const { items } = await site.ask<{ items: WireCharacteristic[] }>("/api/characteristics");
  const plateau = items.find(({ id }) => id === "PR-01:mold.plateau");
  expect(plateau?.limits).toMatchObject({
    revision: 1,
    proposedBy: "process engineer",
    agreedBy: "works manager",
    baseline: { imported: plateau?.limits?.baseline.n },
  });
  expect(plateau?.limits?.baseline.n).toBeGreaterThanOrEqual(100);
  expect(items.filter(({ limits }) => limits !== null).length).toBeGreaterThan(30);
});

test("every run that flagged has its trace behind it, and no imported run has one", async () => {
  const { items } = await site.ask<{ items: WireFlag[] }>("/api/flags?state=open");
  const runs = items.flatMap(({ run }) => (run === null ? [] : [run]));
  expect(runs.length).toBeGreaterThan(0);
  for (const id of runs) {
    const sheet = await site.ask<WireRunSheet>(`/api/runs/${encodeURIComponent(id)}`);
    expect(sheet.run.imported, id).toBe(false);
    // A weighing is a reading or two, a shot some thousands.
    expect(Math.max(...sheet.traces.map(({ value }) => value.length)), id).toBeGreaterThan(0);
  }
});

test.each(Object.entries(sizes))(
  "with the plant running, the pages are right at %s size",
  async (_, size) => {
    const { page } = await session(size);
    const { items } = await site.ask<{ items: WireFlag[] }>("/api/flags?state=open");
    const flag = items.find(({ characteristic }) => characteristic !== null)!;
    const pages = {
      floor: "/",
      flags: "/flags",
      chart: `/bench/${encodeURIComponent(flag.characteristic!)}?flag=${encodeURIComponent(flag.id)}`,
      run: `/run/${encodeURIComponent(flag.run!)}`,
    };
    for (const [title, path] of Object.entries(pages)) {
      await page.goto(path);
      await page.waitForSelector("[data-station], [data-flag], .chart-figure, [data-run]");
      await page.waitForLoadState("networkidle", { timeout: 3_000 }).catch(() => undefined);
      expect(await seriousFindings(page), title).toEqual([]);
      await expect.poll(() => overhang(page), { message: title }).toBeLessThanOrEqual(0);
      await keepPicture(page, `plant-${title}-${size.width}x${size.height}`);
    }
  },
  300_000,
);

test("nothing that the plant sent was refused, and no page had an error or left the host", async () => {
  const counts = await site.ask<{ quarantined: number; stored: number }>("/api/counts");
  expect(counts.quarantined).toBe(0);
  expect(counts.stored).toBeGreaterThan(10_000);
  expect(sessions.flatMap(({ wrongs }) => wrongs)).toEqual([]);
  expect(site.product().said()).not.toMatch(/"level":(50|60)/);
});

async function session(size: (typeof sizes)[keyof typeof sizes] = sizes.desk): Promise<Session> {
  const opened = await openSession(browser, site.url, size);
  sessions.push(opened);
  return opened;
}

/** The first flag on the page that says so; parts pour in turn, so there may be one for another part as well. */
function flagOf(page: Page, says: string) {
  return page.locator('li[data-flag^="PO-A:"]', { hasText: says }).first();
}
