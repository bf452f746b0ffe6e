import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, expect, test } from "vitest";
import type { WireFlag } from "../../api/contract/wire.ts";
import { openSiteData } from "../../collector/start.ts";
import { limitsEntry, pointEntry, runEntry, signalEntry } from "../../collector/store/entries.ts";
import type { JournalEntry } from "../../spc/model/journal-entry.ts";
import { runId } from "../../spc/model/run.ts";
import type { FlagLabel } from "../../spc/model/signal.ts";
import { shiftAt, weekdays } from "../../spc/segment/working-time.ts";
import { demoSite } from "../demo-site.ts";
import { pressLimits } from "../press-limits.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { keepPicture, openBrowser, openSession, overhang, type Session, seriousFindings, sizes } from "./browser.ts";
import { openGateway } from "./gateway.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// The real product over a journal as it may find it at a start: a shift that ended with a flag untaken, and more flags
// than one can take; a source whose clock is wrong; and days on which nobody works.
const settings = "simulator/ostrimvale.yaml";
const minuteMs = 60_000;
let browser: Browser;
const folders: ReturnType<typeof temporaryFolder>[] = [];
const sites: RunningSite[] = [];
const sessions: Session[] = [];

beforeAll(async () => {
  browser = await openBrowser();
});

afterEach(async () => {
  expect(sessions.flatMap(({ wrongs }) => wrongs)).toEqual([]);
  for (const one of sessions.splice(0)) await one.close();
  for (const one of sites.splice(0)) await one.stop();
  for (const one of folders.splice(0)) one.remove();
});

afterAll(() => browser?.close());

async function session(site: RunningSite, size: (typeof sizes)[keyof typeof sizes] = sizes.desk): Promise<Session> {
  const one = await openSession(browser, site.url, size);
  sessions.push(one);
  return one;
}

/** The product over a data folder that holds this. */
async function siteOver(entries: readonly JournalEntry[]): Promise<RunningSite> {
  const folder = temporaryFolder();
  folders.push(folder);
  const data = openSiteData(folder.path, demoSite());
  data.journal.append(entries);
  data.close();
  const running = await startSite(settings, { STEADYPOUR_DATA: folder.path });
  sites.push(running);
  return running;
}

interface Flagged {
  readonly station: string;
  readonly feature: string;
  readonly label?: FlagLabel;
}

/** A run, its point and its signal at a chart of its own, found when it ended. */
function flagged({ station, feature, label = "look" }: Flagged, atMs: number): JournalEntry[] {
  const characteristic = `${station}:${feature}`;
  const set = pressLimits(characteristic, { effectiveFromMs: atMs - minuteMs, frozenAtMs: atMs - minuteMs });
  const startMs = atMs - 100_000;
  const id = runId(station, startMs);
  const run = { id, station, startMs, endMs: atMs, closedBy: "end-condition" as const, segments: [], context: {} };
  const { centre, lower, upper } = set.location;
  const signal = {
    ...{ id: `${set.id}/${id}/location/beyond-limit/below`, characteristic, station, run: id, rule: "beyond-limit" },
    ...({ side: "below", on: "location", limitSet: set.id, members: [id], value: 0.84, line: lower, z: -6 } as const),
    ...{
      atMs,
      flag: `${characteristic}:${startMs}`,
      label,
      doFirst: "Look at the trap first.",
      says: `${feature} low`,
    },
  };
  const place = { subgroup: 0, centre, lower, upper };
  const point = {
    ...{ characteristic, run: id, subgroup: 0, atMs, imported: false, limitSet: set.id, signals: [signal.id] },
    location: { ...place, value: 0.84, verdict: "below" as const },
    spread: { subgroup: 0, value: null, centre: 0.0113, lower: 0, upper: 0.0369, verdict: "not-evaluable" as const },
  };
  return [
    limitsEntry(station, set),
    runEntry({ run, imported: false, features: [{ feature, version: 1, unit: "bar", value: 0.84 }] }),
    pointEntry(station, point),
    signalEntry(signal, atMs + 1_000),
  ];
}

test("a flag whose shift ended before anybody took it says so on Floor and Flags, and can still be taken", async () => {
  // An hour before this shift began: in the one before, which is over.
  const atMs = shiftAt(Date.now(), demoSite().shiftClock)!.startMs - 60 * minuteMs;
  const running = await siteOver(flagged({ station: "PR-01", feature: "mold.plateau" }, atMs));
  const before = shiftAt(atMs, demoSite().shiftClock)!.name;
  const { page } = await session(running, sizes.phone);
  await page.goto("/");
  const row = page.locator("li[data-flag] [data-unseen]");
  await row.waitFor({ timeout: 60_000 });
  await expect.poll(() => row.innerText()).toContain("unseen");
  expect(await seriousFindings(page)).toEqual([]);
  await expect.poll(() => overhang(page)).toBeLessThanOrEqual(0);
  await keepPicture(page, "floor-unseen-390x844");

  const desk = (await session(running)).page;
  await desk.goto("/flags");
  await desk.getByRole("button", { name: /^Unseen/ }).click();
  const card = desk.locator("li.flag-card");
  await expect.poll(() => card.count()).toBe(1);
  await expect.poll(() => card.locator("[data-unseen]").innerText()).toContain(before);
  expect(await seriousFindings(desk)).toEqual([]);
  await keepPicture(desk, "flags-unseen-1440x900");
  const [flag] = (await running.ask<{ readonly items: readonly WireFlag[] }>("/api/flags")).items;
  expect(flag).toMatchObject({ state: "waiting", unseen: { shift: before } });
  await expect.poll(() => card.getByRole("button", { name: /^Take it/ }).isEnabled()).toBe(true);
});

test("more flags than one can take are one panel with the first up; when they stop coming it goes by itself", async () => {
  const presses = ["PR-01", "PR-02", "PR-03", "PR-04"];
  const tables = ["CT-A1", "CT-A2"];
  const each = (stations: readonly string[], features: readonly string[]) =>
    stations.flatMap((station) => features.map((feature) => ({ station, feature })));
  const many = [...each(presses, ["mold.plateau", "mold.t_above"]), ...each(tables, ["vib.rms", "vib.crest"])];
  // The oldest fall out of the ten minutes while the test looks on: later where the product starts slowly.
  const flooded = async (leaveInMs: number): Promise<RunningSite | null> => {
    const leaveMs = Date.now() + leaveInMs;
    const started = await siteOver(many.flatMap((one, at) => flagged(one, leaveMs - 10 * minuteMs + at * 100)));
    return leaveMs - Date.now() > 30_000 ? started : null;
  };
  const running = (await flooded(45_000)) ?? (await flooded(240_000));
  if (running === null) throw new Error("the product took more than three minutes to start");
  const { page } = await session(running);
  await page.goto("/");
  const panel = page.locator("[data-flood]");
  await panel.waitFor({ timeout: 60_000 });
  const words = await panel.innerText();
  // What they have in common may be a flag of its own, which the product opens beside them.
  expect(words).toMatch(/1[2-5] flags in 10 minutes\. First up: PR-01 mold\.plateau low/);
  expect(words).toContain("Stations: PR-01, PR-02, PR-03, PR-04, CT-A1, CT-A2.");
  await expect.poll(() => panel.getAttribute("data-flood")).toBe("PR-01");
  // One picture in place of a list, and one way to all of them.
  await expect.poll(() => page.locator("li[data-flag]").count()).toBe(0);
  await expect
    .poll(() => panel.getByRole("link", { name: /^All \d+ open flags$/ }).getAttribute("href"))
    .toBe("/flags");
  await expect.poll(() => panel.getByRole("button", { name: /^Take it/ }).count()).toBe(1);
  expect(await seriousFindings(page)).toEqual([]);
  await keepPicture(page, "floor-flood-1440x900");
  const phone = (await session(running, sizes.phone)).page;
  await phone.goto("/");
  await phone.locator("[data-flood]").waitFor({ timeout: 60_000 });
  await expect.poll(() => overhang(phone)).toBeLessThanOrEqual(0);
  expect(await seriousFindings(phone)).toEqual([]);
  await keepPicture(phone, "floor-flood-390x844");

  await panel.waitFor({ state: "detached", timeout: 300_000 });
  await expect.poll(() => page.locator("li[data-flag]").count()).toBeGreaterThan(0);
}, 600_000);

test("a source whose clock is ahead is told in a banner by name, and its points keep their own times", async () => {
  const running = await siteOver([]);
  const gateway = openGateway(running.mqttUrl, "GW-PR");
  const { page } = await session(running);
  await page.goto("/");
  await page.locator("[data-station]").first().waitFor({ timeout: 60_000 });
  await expect.poll(() => page.locator("[data-clock-wrong]").count()).toBe(0);
  const aheadMs = 10 * minuteMs;
  await gateway.readings("PR-01/pressure", "bar", Date.now() + aheadMs, 1_000, [0.7, 0.71, 0.7]);
  const banner = page.locator("[data-clock-wrong]");
  await banner.waitFor({ timeout: 60_000 });
  await expect.poll(() => banner.getAttribute("data-clock-wrong")).toBe("GW-PR");
  await expect.poll(() => banner.getAttribute("role")).toBe("status");
  await expect
    .poll(() => banner.innerText())
    .toMatch(/GW-PR (9|10) min ahead.*Times of its points and flags are uncertain/s);
  expect(await seriousFindings(page)).toEqual([]);
  await keepPicture(page, "floor-clock-wrong-1440x900");
  const phone = (await session(running, sizes.phone)).page;
  await phone.goto("/");
  await phone.locator("[data-clock-wrong]").waitFor({ timeout: 60_000 });
  await expect.poll(() => overhang(phone)).toBeLessThanOrEqual(0);
  await gateway.close();
});

test("where no shift works the Floor says so, and since when its values are old", async () => {
  const folder = temporaryFolder();
  folders.push(folder);
  const config = join(folder.path, "site.yaml");
  const only = weekdays[(new Date(Date.now() + 3 * 86_400_000).getUTCDay() + 6) % 7]!;
  const [given, days] = [readFileSync(settings, "utf8"), `, days: [${only}] }`];
  writeFileSync(config, given.replace(/(\{ name: (?:early|late|night), from: "\d\d:\d\d") \}/g, `$1${days}`));
  const running = await startSite(config);
  sites.push(running);
  const next = `${only[0]!.toUpperCase()}${only.slice(1, 3)} 06:00`;
  const { page } = await session(running, sizes.phone);
  await page.goto("/");
  const free = page.locator("[data-free]");
  await free.waitFor({ timeout: 60_000 });
  expect(await free.innerText()).toMatch(/^No shift works since \w{3} 06:00; /);
  expect(await free.innerText()).toContain(`the next begins ${next}`);
  expect(await seriousFindings(page)).toEqual([]);
  await expect.poll(() => overhang(page)).toBeLessThanOrEqual(0);
  const desk = await session(running);
  await desk.page.goto("/");
  await expect.poll(() => desk.page.locator("p.shift").innerText()).toContain(`No shift until ${next}`);
});
