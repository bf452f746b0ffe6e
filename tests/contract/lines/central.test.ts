import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { parse, stringify } from "yaml";
import type { WireFlag, WireFloor, WireTrend } from "../../../api/contract/wire.ts";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import { limitsEntry } from "../../../collector/store/entries.ts";
import { charted, pourAt } from "../../e2e/bench-plant.ts";
import { type Gateway, openGateway } from "../../e2e/gateway.ts";
import { eventually } from "../../eventually.ts";
import { partOfDemo } from "../../part-of-demo.ts";
import { pressLimits } from "../../press-limits.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { as } from "../api/as.ts";
import { post } from "../api/ask.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";
import { type SplitSite, splitSite } from "../split/split-site.ts";

interface Settings {
  readonly site: { readonly name: string };
  readonly persons: unknown;
}

const everyMs = 400_000;
const began = Math.floor(Date.now() / 1_000) * 1_000 - 8 * everyMs;
const limits = pressLimits(charted, {
  location: { centre: 750, lower: 739.5, upper: 760.5, sigma: 3.5 },
  spread: { centre: 3.95, lower: 0, upper: 12.9, sigma: 3 },
  reason: "a known past",
});

/** A press and a pouring station of the demo's plant, as two works. */
function settingsOf(line: string): string {
  const part = parse(partOfDemo(line === "white" ? "PR-01" : "PO-A")) as Settings;
  return stringify({ ...part, site: { ...part.site, name: `${part.site.name}, ${line} side` }, lateness: "300 s" });
}

let folder: ReturnType<typeof temporaryFolder>;
let influx: InfluxServer;
const started: SplitSite[] = [];
beforeEach(async () => {
  folder = temporaryFolder();
  influx = await influxdb();
}, 90_000);
afterEach(async () => {
  for (const one of started.splice(0)) await one.stop();
  await influx.remove();
  folder.remove();
});

const path = (...names: readonly string[]): string => join(folder.path, ...names);
const shared = (): Record<string, string> => ({
  STEADYPOUR_INFLUX_URL: influx.url,
  STEADYPOUR_INFLUX_DATABASE: "steadypour",
});

async function node(line: string): Promise<SplitSite> {
  mkdirSync(path(line));
  writeFileSync(path(`${line}.yaml`), settingsOf(line));
  const journal = openJournal(path(line));
  journal.append([limitsEntry("PO-A", limits)]);
  journal.close();
  const running = await splitSite(path(line), false, {
    ...shared(),
    STEADYPOUR_CONFIG: path(`${line}.yaml`),
    STEADYPOUR_JOURNAL_COPY: path("lines", line),
  });
  started.push(running);
  return running;
}

async function office(): Promise<SplitSite> {
  const own = path("office.yaml");
  const { site, persons } = parse(readFileSync("simulator/ostrimvale.yaml", "utf8")) as Settings;
  writeFileSync(own, stringify({ site, persons }));
  mkdirSync(path("office"), { recursive: true });
  const running = await splitSite(path("office"), false, {
    ...shared(),
    ...{ STEADYPOUR_CONFIG: own, STEADYPOUR_ROLES: "api", STEADYPOUR_LINES: path("lines") },
  });
  started.push(running);
  return running;
}

const floorOf = (one: SplitSite): Promise<WireFloor> => one.ask<WireFloor>("/api/floor");
const pointsOf = async (one: SplitSite): Promise<readonly string[]> =>
  (await floorOf(one)).characteristics.find(({ characteristic }) => characteristic.id === charted)?.strip.run ?? [];

test("two lines on one Floor, the second as it comes; one that is cut off goes on alone, is told to be away, and catches up; what is decided is decided there", async () => {
  const white = await node("white");
  let gateway: Gateway | null = null;
  try {
    await eventually("its copy has begun", () => existsSync(path("lines", "white", "head.json")));
    const central = await office();
    expect((await floorOf(central)).lines.map(({ id }) => id)).toEqual(["white"]);
    // A line that comes later is shown as it comes, behind the same address.
    const black = await node("black");
    gateway = openGateway(black.mqttUrl, "GW-PO");
    for (const [place, celsius] of [750, 752, 735, 751].entries())
      await pourAt(gateway, began + place * everyMs, celsius);
    await eventually("the line has its points", async () => (await pointsOf(black)).length === 3);
    await eventually(
      "the office has them too",
      async () => (await pointsOf(central).catch(() => [])).length === 3,
      60_000,
    );
    const [here, there, other] = await Promise.all([floorOf(central), floorOf(black), floorOf(white)]);
    expect(here.lines.map(({ id }) => id).sort()).toEqual(["black", "white"]);
    const stations = [...there.stations, ...other.stations].map(({ id }) => id).sort();
    expect(here.stations.map(({ id }) => id).sort()).toEqual(stations);
    const stripOf = ({ characteristics }: WireFloor) =>
      characteristics.find(({ characteristic }) => characteristic.id === charted)?.strip;
    expect(stripOf(here)).toEqual(stripOf(there));
    expect(here.door).toEqual([]);

    // Decided at the line, seen in the office.
    const [flag] = here.flags;
    const url = `/api/flags/${encodeURIComponent(flag?.id ?? "")}`;
    const refused = await fetch(`${central.url}${url}/take`, post({}, as("night-lead")));
    expect([refused.status, await refused.json()]).toEqual([403, expect.objectContaining({ code: "at-the-line" })]);
    expect((await fetch(`${black.url}${url}/take`, post({}, as("night-lead")))).status).toBe(200);
    await eventually(
      "the office sees who took it",
      async () => (await central.ask<WireFlag>(url)).taken?.by === "Night lead",
    );

    // Readings of the line from the long-term store.
    const span = `from=${new Date(began).toISOString()}&to=${new Date(began + 8 * everyMs).toISOString()}`;
    const trend = `/api/trend?series=PO-A/stream&columns=40&${span}`;
    const counted = async (one: SplitSite): Promise<number> =>
      (await one.ask<WireTrend>(trend)).columns.reduce((sum, { readings }) => sum + readings, 0);
    await eventually("its readings are there", async () => (await counted(central)) === (await counted(black)), 60_000);

    // Cut off: nothing of what the line does reaches the office, and the line does not mind.
    renameSync(path("lines", "black"), path("cut-off"));
    writeFileSync(path("lines", "black"), "");
    for (const [place, celsius] of [749, 748].entries()) await pourAt(gateway, began + (4 + place) * everyMs, celsius);
    await eventually("the line goes on", async () => (await pointsOf(black)).length === 5);
    await eventually("the office says that it is cut off", async () => {
      const { door, freshness } = await floorOf(central);
      const state = freshness.find(({ station }) => station === "PO-A")?.state;
      return door.length === 1 && door[0]?.code === "line-away" && door[0].line === "black" && state === "silent";
    });
    expect(await pointsOf(central)).toHaveLength(3);
    renameSync(path("lines", "black"), path("nothing"));
    renameSync(path("cut-off"), path("lines", "black"));
    await eventually("it catches up", async () => (await pointsOf(central)).length === 5, 60_000);
    expect(await pointsOf(central)).toEqual(await pointsOf(black));
    await eventually("nothing is away any more", async () => (await floorOf(central)).door.length === 0);
    expect(readdirSync(path("lines", "black")).sort()).toEqual(["head.json", "journal", "site.yaml"]);
  } finally {
    await gateway?.close();
  }
}, 600_000);
