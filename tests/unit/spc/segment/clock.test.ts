import { expect, test } from "vitest";
import { zoneOffsets } from "../../../../collector/platform/settings/zone-offsets.ts";
import type { RoleSample } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { clockSegmenter } from "../../../../spc/segment/clock.ts";
import { dayMs, slotAt } from "../../../../spc/segment/clock-slot.ts";
import { at, closedRuns, everySecond, inShort } from "./samples.ts";

const hourMs = 3_600_000;
const hours = Array.from({ length: 24 }, (_, i) => i * hourMs);
const shifts = [6, 14, 22].map((hour) => hour * hourMs);
const cet = zoneOffsets("CET");
const utc = zoneOffsets("UTC");

/** All slots of a stretch, as the hours that each lasts. */
function lengths(fromIso: string, toIso: string, edges: readonly number[], offsets = cet): readonly number[] {
  const found: number[] = [];
  for (let tMs = Date.parse(fromIso); tMs < Date.parse(toIso); ) {
    const slot = slotAt(tMs, edges, offsets);
    expect(slot.startMs).toBeLessThanOrEqual(tMs);
    expect(slot.endMs).toBeGreaterThan(tMs);
    found.push((slot.endMs - slot.startMs) / hourMs);
    tMs = slot.endMs;
  }
  return found;
}

test("an hour of the clock is an hour long, also at midnight", () => {
  expect(lengths("2026-11-24T22:00:00Z", "2026-11-25T02:00:00Z", hours)).toEqual([1, 1, 1, 1]);
  expect(slotAt(Date.parse("2026-11-24T23:10:00Z"), hours, cet)).toEqual({
    startMs: Date.parse("2026-11-24T23:00:00Z"),
    endMs: Date.parse("2026-11-25T00:00:00Z"),
  });
});

test("in the night in which clocks go back the hour from two to three comes twice, and the night shift has nine hours", () => {
  // 25 October 2026, 03:00 becomes 02:00 (01:00 UTC): rule of the European Union, in the IANA database.
  expect(lengths("2026-10-24T22:00:00Z", "2026-10-25T04:00:00Z", hours)).toEqual([1, 1, 1, 1, 1, 1]);
  expect(lengths("2026-10-24T12:00:00Z", "2026-10-25T21:00:00Z", shifts)).toEqual([8, 9, 8, 8]);
});

test("in the night in which clocks go on one hour is lacking, and the night shift has seven", () => {
  // 29 March 2026, 02:00 becomes 03:00 (01:00 UTC).
  expect(lengths("2026-03-28T23:00:00Z", "2026-03-29T03:00:00Z", hours)).toEqual([1, 1, 1, 1]);
  expect(lengths("2026-03-28T13:00:00Z", "2026-03-29T20:00:00Z", shifts)).toEqual([8, 7, 8, 8]);
});

test("a change by half an hour leaves a half hour of its own", () => {
  // Lord Howe, 5 April 2026: 02:00 becomes 01:30 (15:00 UTC the day before).
  expect(lengths("2026-04-04T14:00:00Z", "2026-04-04T17:30:00Z", hours, zoneOffsets("Australia/Lord_Howe"))).toEqual([
    1, 0.5, 1, 1,
  ]);
});

test("hours begin anew at a shift that begins at half past", () => {
  const edges = [6, 7, 8.5, 9.5].map((hour) => hour * hourMs);
  expect(lengths("2026-11-25T06:00:00Z", "2026-11-26T06:00:00Z", edges, utc)).toEqual([1, 1.5, 1, 20.5]);
});

test("a run is its whole hour, whenever its readings began and whatever of them is missing", () => {
  const config = { by: "clock", edges: hours, offsets: utc } as const;
  const cut = (samples: readonly RoleSample[]) => closedRuns(advance(clockSegmenter("SC-1", config), samples).out);
  const samples = [...everySecond("sand-out-t", 600, 700, 38), at(3600, "sand-out-t", 39), at(3 * 3600 + 5, "door", 1)];
  expect(cut(samples).map(inShort)).toEqual(["0-3600 end-condition", "3600-7200 end-condition"]);
  expect(cut(samples)[0]!.context).toEqual({});
});

test.each([
  [[], "edges that ascend"],
  [[5, 5], "edges that ascend"],
  [[dayMs], "edges that ascend"],
  [[-1], "edges that ascend"],
  [[Number.NaN], "edges that ascend"],
])("edges %j cut nothing", (edges, why) => {
  expect(() => clockSegmenter("SC-1", { by: "clock", edges, offsets: utc })).toThrow(why);
});

test("a zone without offsets cuts nothing", () => {
  expect(() => clockSegmenter("SC-1", { by: "clock", edges: [0], offsets: [] })).toThrow("offsets of its zone");
});

const everyDay = shifts.map((fromMs, i) => ({ name: `shift ${i}`, fromMs }));
const weekend = [Date.UTC(2026, 10, 28) / dayMs, Date.UTC(2026, 10, 29) / dayMs];

test.each([
  ["weekdays of its own", { shifts: everyDay.map((one) => ({ ...one, days: [0, 1, 2, 3, 4] })) }],
  ["free days", { shifts: everyDay, freeDays: weekend }],
])("between shifts that work, by %s, nothing runs: the hour before ends where the free time begins", (_, free) => {
  const segmenter = clockSegmenter("HD-1", { by: "clock", edges: hours, offsets: cet, ...free });
  // From Saturday at five on the clock, when Friday's night shift has an hour left, to Monday at seven.
  const from = Date.parse("2026-11-28T04:00:00Z");
  const samples = Array.from({ length: 51 * 60 }, (_, i): RoleSample => {
    return { ...at(0, "pressure", 4.5), tMs: from + i * 60_000 };
  });
  const runs = closedRuns(advance(segmenter, samples).out);
  expect(runs.map(({ startMs }) => new Date(startMs).toISOString())).toEqual([
    "2026-11-28T04:00:00.000Z",
    "2026-11-30T05:00:00.000Z",
  ]);
  expect(runs[0]!.endMs).toBe(Date.parse("2026-11-28T05:00:00Z"));
});
