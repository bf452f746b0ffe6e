import { expect, test } from "vitest";
import type { RoleSample, Run } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { SequenceConfig } from "../../../../spc/segment/segmenter.ts";
import { sequenceSegmenter } from "../../../../spc/segment/sequence.ts";
import { at, closedRuns, epochMs, everySecond, inShort, inTimeOrder } from "./samples.ts";

/** A press that tells no step, by its pressure alone. */
const config: SequenceConfig = {
  by: "sequence",
  role: "pressure",
  steps: [
    { name: "preheat", above: 0.06, from: 0.03 },
    { name: "cross-steam", above: 0.25, from: 0.15 },
    { name: "autoclave", above: 0.65, from: 0.5 },
    { name: "vent", below: 0.6, from: 0.8 },
    { name: "cool", below: 0.03 },
    { name: "vacuum", below: -0.3, from: -0.1 },
  ],
  ends: { above: -0.1, from: -0.4 },
  timeoutMs: 300_000,
};
const cut = (samples: readonly RoleSample[], more: Partial<SequenceConfig> = {}): readonly Run[] =>
  closedRuns(advance(sequenceSegmenter("PR-01", { ...config, ...more }), samples).out);
const level = (fromS: number, toS: number, bar: number) => everySecond("pressure", fromS, toS, bar);
const shot = (fromS: number) => [
  ...level(fromS, fromS + 12, 0),
  ...level(fromS + 12, fromS + 14, 0.12),
  ...level(fromS + 14, fromS + 18, 0.35),
  at(fromS + 18, "pressure", 0.55),
  ...level(fromS + 19, fromS + 25, 0.9),
  at(fromS + 25, "pressure", 0.7),
  ...level(fromS + 26, fromS + 29, 0.2),
  ...level(fromS + 29, fromS + 40, 0),
  ...level(fromS + 40, fromS + 55, -0.65),
  ...level(fromS + 55, fromS + 60, -0.02),
];
const whole = (s: number) =>
  `${12 + s}-${55 + s} end-condition preheat ${12 + s}-${14 + s} cross-steam ${14 + s}-${18 + s} autoclave ${18 + s}-${25 + s} vent ${25 + s}-${29 + s} cool ${29 + s}-${40 + s} vacuum ${40 + s}-${55 + s}`;

test("steps of a shot follow from the levels that its pressure passes, each from where it first left the one before", () => {
  expect(cut([...shot(0), ...shot(60)]).map(inShort)).toEqual([whole(0), whole(60)]);
});

test("a stream that begins amid a shot opens none until the pressure has been down", () => {
  expect(cut([...shot(0).slice(20), ...shot(60)]).map(inShort)).toEqual([whole(60)]);
});

test("a shot without steam ends where the next begins, and says that its end was not seen", () => {
  const failed = [...level(0, 12, 0), ...level(12, 14, 0.12), ...level(14, 18, 0.35), ...level(18, 60, 0)];
  expect(cut([...failed, ...shot(60)]).map(inShort)).toEqual(["12-72 gap preheat 12-14 cross-steam 14-72", whole(60)]);
});

test("a spike shorter than the hold proves no step", () => {
  const steps = [{ name: "on", above: 1, holdMs: 3000 }];
  const samples = [...level(0, 5, 0), ...level(5, 7, 2), ...level(7, 10, 0), ...level(10, 20, 2), ...level(20, 30, 0)];
  expect(cut(samples, { steps, ends: { below: 1, holdMs: 3000 } }).map(inShort)).toEqual([
    "10-20 end-condition on 10-20",
  ]);
});

test("stages of one vibrating table may come at the same level again", () => {
  const steps = [
    { name: "bed", above: 0.5 },
    { name: null, below: 0.1 },
    { name: "fill", above: 0.5 },
    { name: null, below: 0.1 },
    { name: "final", above: 0.5 },
  ];
  const on = (fromS: number) => [...level(fromS, fromS + 10, 1), ...level(fromS + 10, fromS + 15, 0)];
  expect(
    cut([...level(0, 5, 0), ...on(5), ...on(20), ...on(35)], { steps, ends: { below: 0.1 } }).map(inShort),
  ).toEqual(["5-45 end-condition bed 5-15 fill 20-30 final 35-45"]);
});

test("readings without a number or not good prove and break nothing", () => {
  const bad = (tS: number): RoleSample => ({ ...at(tS, "pressure", 9), quality: "bad" });
  const half = (one: RoleSample): RoleSample => ({ ...one, tMs: one.tMs + 500 });
  const samples = inTimeOrder(shot(0), [bad(3), bad(20), at(30, "pressure", null)].map(half));
  expect(cut(samples).map(inShort)).toEqual([whole(0)]);
});

test("what events tell from the rise on joins the run, what they told before does not", () => {
  const told = [at(5, "scan", 1, { part: "A" }), at(13, "scan", 1, { tool: "T-1" }), at(50, "scan", 1, { part: "B" })];
  expect(cut(inTimeOrder(shot(0), told))[0]!.context).toEqual({ tool: "T-1", part: "B" });
});

test("a shot longer than its timeout, and one amid a silence, end there", () => {
  expect(
    cut([...shot(0).slice(0, 22), ...level(22, 400, 0.9)], { timeoutMs: 100_000, gapMs: 20_000 }).map(inShort),
  ).toEqual(["12-112 timeout preheat 12-14 cross-steam 14-18 autoclave 18-112"]);
  expect(cut([...shot(0).slice(0, 22), at(400, "pressure", 0.9)]).map(inShort)).toEqual([
    "12-21 gap preheat 12-14 cross-steam 14-18 autoclave 18-21",
  ]);
});

test("the run's id follows from where it began", () => {
  expect(cut(shot(0))[0]!.startMs).toBe(epochMs + 12_000);
});

test.each([
  [{ steps: [] }, "needs a step"],
  [{ steps: [{ name: "x" }] }, "above a level or below one"],
  [{ steps: [{ name: "x", above: 1, below: 0 }] }, "above a level or below one"],
  [{ steps: [{ name: "x", above: 1, from: 2 }] }, "must begin before its level 1"],
  [{ ends: { below: 1, from: 0 } }, "must begin before its level 1"],
  [{ ends: { below: 1, holdMs: -1 } }, "a hold must be 0 ms or more"],
])("%j cannot cut runs", (wrong, why) => {
  expect(() => sequenceSegmenter("PR-01", { ...config, ...wrong })).toThrow(why);
});
