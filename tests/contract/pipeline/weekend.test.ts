import { afterEach, expect, test } from "vitest";
import type { Site } from "../../../collector/platform/settings/site.ts";
import type { RawMessage } from "../../../collector/source/message-source.ts";
import { plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import { fiveDaySite } from "../../five-day-site.ts";
import { type PlayedPlant, payloadsOf, playedPlant } from "../../played-plant.ts";

// A plant that works five days a week, from its readings to flags: what stands is no fault, and Monday's cold start is told.

const minuteMs = 60_000;
/** Looked at seldomer, the product takes itself to have stood still. */
const lookMs = 5_000;
const [groups, groupMs] = [8, 20] as const;
const saturdayMs = Date.UTC(2026, 10, 28, 5);
const mondayMs = Date.UTC(2026, 10, 30, 5);
const stations = new Set(["HD-1", "AO-1", "CT-A1", "CT-A2", "CT-F1", "CT-F2"]);
const gateways: readonly Source[] = ["GW-ST", "GW-AO", "GW-CT"];

let played: PlayedPlant;
afterEach(() => played.close());

/** These stations alone: what the others of their gateways send is refused at the door. */
function partOf(site: Site): Site {
  return {
    ...site,
    stations: site.stations.filter(({ id }) => stations.has(id)),
    sources: site.sources.filter(({ id }) => gateways.some((one) => one === id)),
  };
}

function playing(site: Site) {
  played = playedPlant(saturdayMs - 12 * minuteMs, partOf(site));
  const made = payloadsOf(plant({ seed: 12, firstMs: saturdayMs - 12 * minuteMs, week: 5 }, []), gateways, lookMs);
  return async (fromMs: number, toMs: number): Promise<void> => {
    const { clock } = played;
    clock.advance(fromMs - clock.nowMs());
    for (let t = fromMs; t < toMs; t += lookMs) await look(made(t, t + lookMs), t + lookMs);
  };
}

/** What came by then is on disk within a moment of the clock, and looked at. */
async function look(raw: readonly RawMessage[], atMs: number): Promise<void> {
  const { clock, line } = played;
  const handedOverMs = atMs - groups * groupMs;
  clock.advance(handedOverMs - clock.nowMs());
  await played.takeIn(raw);
  for (let group = 0; group < groups; group += 1) {
    clock.advance(groupMs);
    await new Promise((resolve) => setImmediate(resolve));
  }
  await line.drain();
  line.tick();
}

const read = (kind: "silence" | "signal" | "run" | "instrument") => [...played.data.journal.read({ kinds: [kind] })];
const hoursOf = (station: string): readonly string[] =>
  read("run").flatMap(({ kind, body }) =>
    kind === "run" && body.run.station === station ? [new Date(body.run.startMs).toISOString().slice(5, 16)] : [],
  );
const freshness = () =>
  Object.fromEntries(played.line.freshness().map(({ station, state }) => [station, state] as const));

test("from Saturday's last shift to Monday's first runs nothing that merely stands opens a flag, and no hour of it is charted", async () => {
  const play = playing(fiveDaySite());
  await play(saturdayMs - 12 * minuteMs, saturdayMs + 25 * minuteMs);
  expect(read("silence")).toEqual([]);
  expect(read("signal")).toEqual([]);
  expect(freshness()).toMatchObject({ "HD-1": "live", "CT-A1": "live", "CT-F1": "live", "AO-1": "live" });
  await play(mondayMs - 3 * minuteMs, mondayMs + 18 * minuteMs);
  expect(read("silence")).toEqual([]);
  expect(read("instrument")).toEqual([]);
  const flasks = read("run").filter(({ station, atMs }) => station.startsWith("CT-A") && atMs > mondayMs);
  expect(flasks.length).toBeGreaterThan(0);
  await play(mondayMs + 60 * minuteMs, mondayMs + 62 * minuteMs);
  expect(hoursOf("HD-1")).toEqual(["11-28T04:00", "11-30T05:00"]);
  expect(read("signal").filter(({ atMs }) => atMs < mondayMs)).toEqual([]);
});

test("a table's gateway that is still quiet when work has begun is missed, counted from then", async () => {
  const play = playing(fiveDaySite());
  await play(saturdayMs - 8 * minuteMs, saturdayMs);
  const { clock } = played;
  clock.advance(mondayMs - 10 * minuteMs - clock.nowMs());
  const quiet = payloadsOf(plant({ seed: 12, firstMs: saturdayMs, week: 5 }, []), ["GW-ST"], lookMs);
  const quietUntil = async (toMs: number): Promise<void> => {
    for (let t = clock.nowMs(); t < toMs; t += lookMs) await look(quiet(t, t + lookMs), t + lookMs);
  };
  const ofTables = () => read("silence").filter(({ kind, body }) => kind === "silence" && body.source === "GW-CT");
  await quietUntil(mondayMs + 14 * minuteMs);
  expect(ofTables()).toEqual([]);
  await quietUntil(mondayMs + 17 * minuteMs);
  expect(ofTables()).toMatchObject([{ body: { wholeSource: true } }]);
});

test("told of no free days, the product misses the tables and cuts an hour of the boiler's rest", async () => {
  const everyDay = fiveDaySite();
  const shifts = everyDay.shiftClock.shifts.map(({ name, fromMs }) => ({ name, fromMs }));
  const clocked = everyDay.stations.map((one) =>
    one.segmenter.by === "clock" ? { ...one, segmenter: { ...one.segmenter, shifts } } : one,
  );
  const play = playing({ ...everyDay, stations: clocked, shiftClock: { ...everyDay.shiftClock, shifts } });
  await play(saturdayMs - 8 * minuteMs, saturdayMs + 20 * minuteMs);
  expect(read("silence")).toMatchObject([{ body: { source: "GW-CT", wholeSource: true } }]);
  await play(saturdayMs + 60 * minuteMs, saturdayMs + 62 * minuteMs);
  expect(hoursOf("HD-1")).toEqual(["11-28T04:00", "11-28T05:00"]);
});
