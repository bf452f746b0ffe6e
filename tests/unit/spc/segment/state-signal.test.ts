import { expect, test } from "vitest";
import type { RoleSample, Run } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { StateSignalConfig } from "../../../../spc/segment/segmenter.ts";
import { stateSignalSegmenter } from "../../../../spc/segment/state-signal.ts";
import { at, closedRuns, epochMs, everySecond, inShort, inTimeOrder } from "./samples.ts";

const config: StateSignalConfig = {
  by: "state-signal",
  role: "step",
  states: { 1: "fill", 2: "steam", 3: "cool" },
  opensAt: 1,
  closesAt: 0,
  timeoutMs: 300_000,
};
const cut = (samples: readonly RoleSample[], more: Partial<StateSignalConfig> = {}): readonly Run[] =>
  closedRuns(advance(stateSignalSegmenter("PR-01", { ...config, ...more }), samples).out);
const shot = (fromS: number, part = "OFW-2107"): readonly RoleSample[] => [
  at(fromS, "step", 1, { part }),
  at(fromS + 10, "step", 2),
  at(fromS + 20, "step", 3),
  at(fromS + 30, "step", 0),
];

test("a shot is a run whose segments are its states, half open, named by the settings", () => {
  const [run, ...rest] = cut(shot(0));
  expect(rest).toEqual([]);
  expect(inShort(run!)).toBe("0-30 end-condition fill 0-10 steam 10-20 cool 20-30");
  expect(run).toMatchObject({ id: "PR-01:20261125T080000000Z", station: "PR-01", context: { part: "OFW-2107" } });
});

test("the opening is told at once, before anything is known of the end", () => {
  const { out } = advance(stateSignalSegmenter("PR-01", config), shot(0).slice(0, 1));
  expect(out).toEqual([{ kind: "opened", id: "PR-01:20261125T080000000Z", station: "PR-01", startMs: epochMs }]);
});

test("what any event tells while the run is open joins its context, and the newest word holds", () => {
  const samples = inTimeOrder(shot(0), [
    at(5, "scan", 1, { tool: "T-4" }),
    at(25, "scan", 1, { tool: "T-5" }),
    at(31, "scan", 1, { tool: "T-6" }),
  ]);
  expect(cut(samples)[0]!.context).toEqual({ part: "OFW-2107", tool: "T-5" });
});

test("what the closing event tells belongs to the run that it closes", () => {
  const samples = [...shot(0).slice(0, 3), at(30, "step", 0, { operator: "M" })];
  expect(cut(samples)[0]!.context).toEqual({ part: "OFW-2107", operator: "M" });
});

test("a stream that begins amid a run opens none until the opening state", () => {
  expect(cut([...shot(0).slice(1), ...shot(40)]).map(inShort)).toEqual([
    "40-70 end-condition fill 40-50 steam 50-60 cool 60-70",
  ]);
});

test("repeats of a state change nothing", () => {
  const repeated = shot(0).flatMap((each) => [
    each,
    { ...each, tMs: each.tMs + 3000 },
    { ...each, tMs: each.tMs + 6000 },
  ]);
  expect(cut(repeated).map(inShort)).toEqual(cut(shot(0)).map(inShort));
});

test("when the next run opens before the closing state came, that event was lost and the former run says so", () => {
  expect(cut([...shot(0).slice(0, 3), ...shot(28)]).map(inShort)).toEqual([
    "0-28 gap fill 0-10 steam 10-20 cool 20-28",
    "28-58 end-condition fill 28-38 steam 38-48 cool 48-58",
  ]);
});

test("the opening state told again for another part is the next run", () => {
  const samples = [at(0, "step", 1, { part: "OFW-2107" }), ...shot(20, "OFW-2115")];
  const runs = cut(samples);
  expect(runs.map(inShort)[0]).toBe("0-20 gap fill 0-20");
  expect(runs.map(({ context }) => context["part"])).toEqual(["OFW-2107", "OFW-2115"]);
});

test("a run older than its timeout ends at that age, found by whatever sample comes next", () => {
  const readings = everySecond("pressure", 0, 400, 0.9);
  const samples = inTimeOrder(shot(0).slice(0, 2), readings, [at(350, "step", 0)], shot(360));
  expect(cut(samples).map(inShort)).toEqual([
    "0-300 timeout fill 0-10 steam 10-300",
    "360-390 end-condition fill 360-370 steam 370-380 cool 380-390",
  ]);
});

test("a closing state exactly at the timeout still closes the run", () => {
  const readings = everySecond("pressure", 0, 300, 0.9);
  expect(cut(inTimeOrder(shot(0).slice(0, 2), readings, [at(300, "step", 0)])).map(inShort)).toEqual([
    "0-300 end-condition fill 0-10 steam 10-300",
  ]);
});

test("after a timeout the same state repeated does not open a run again", () => {
  const stuck = Array.from({ length: 60 }, (_, i) => at(10 * i, "step", 1));
  expect(cut(stuck).map(inShort)).toEqual(["0-300 timeout fill 0-300"]);
});

test("a silence of the whole station longer than a tenth of the timeout ends the run where it began", () => {
  const samples = inTimeOrder(shot(0).slice(0, 2), everySecond("pressure", 0, 16, 0.9), shot(46));
  expect(cut(samples).map(inShort)).toEqual([
    "0-15 gap fill 0-10 steam 10-15",
    "46-76 end-condition fill 46-56 steam 56-66 cool 66-76",
  ]);
});

test("a silence of exactly the length allowed ends nothing", () => {
  const samples = [...shot(0).slice(0, 3), at(50, "step", 0)];
  expect(cut(samples).map(inShort)).toEqual(["0-50 end-condition fill 0-10 steam 10-20 cool 20-50"]);
  expect(cut(samples, { gapMs: 29_999 }).map(inShort)).toEqual(["0-20 gap fill 0-10 steam 10-20"]);
});

test("after a silence the state may have changed unheard, so the opening state opens", () => {
  const samples = [at(0, "step", 1), at(10, "step", 1), at(100, "step", 1), at(110, "step", 0)];
  expect(cut(samples).map(inShort)).toEqual(["0-10 gap fill 0-10", "100-110 end-condition fill 100-110"]);
});

test("a run of 0 ms is not made, and a state of 0 ms is no segment", () => {
  expect(cut([at(0, "step", 1), at(0, "step", 0)])).toEqual([]);
  expect(cut([at(0, "step", 1), at(0, "step", 2), at(5, "step", 0)]).map(inShort)).toEqual([
    "0-5 end-condition steam 0-5",
  ]);
});

test("a state without a name belongs to the run and to no segment", () => {
  expect(cut([at(0, "step", 1), at(5, "step", 7), at(9, "step", 2), at(12, "step", 0)]).map(inShort)).toEqual([
    "0-12 end-condition fill 0-5 steam 9-12",
  ]);
});

test("states that share a name, one after the other, are one segment", () => {
  const states = { 1: "fill", 2: "steam", 3: "steam" };
  expect(cut(shot(0), { states }).map(inShort)).toEqual(["0-30 end-condition fill 0-10 steam 10-30"]);
});

test("an event without a number, or one that its sender calls bad, tells no state", () => {
  const samples = [...shot(0), at(12, "step", null), { ...at(13, "step", 0), quality: "bad" as const }];
  expect(cut(inTimeOrder(samples)).map(inShort)).toEqual(cut(shot(0)).map(inShort));
});

test("a sample older than its predecessor is left out", () => {
  expect(cut([...shot(0), at(5, "step", 1), at(30, "step", 0)]).map(inShort)).toEqual(cut(shot(0)).map(inShort));
});

test("an open run makes no closed one until something ends it", () => {
  expect(cut(shot(0).slice(0, 3))).toEqual([]);
});

test.each([
  [{ timeoutMs: 0 }, "a timeout above 0"],
  [{ timeoutMs: Number.NaN }, "a timeout above 0"],
  [{ gapMs: -1 }, "a gap above 0"],
  [{ closesAt: 1 }, "cannot open and close at the same state 1"],
])("%j cannot cut runs", (wrong, why) => {
  expect(() => stateSignalSegmenter("PR-01", { ...config, ...wrong })).toThrow(why);
});
