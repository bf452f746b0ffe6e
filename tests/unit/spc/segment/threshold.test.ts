import { expect, test } from "vitest";
import type { RoleSample, Run } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { ThresholdConfig } from "../../../../spc/segment/segmenter.ts";
import { thresholdSegmenter } from "../../../../spc/segment/threshold.ts";
import { at, closedRuns, everySecond, inShort, inTimeOrder } from "./samples.ts";

const config: ThresholdConfig = {
  by: "threshold",
  role: "rms",
  opensAbove: 0.5,
  closesBelow: 0.2,
  holdMs: 3000,
  timeoutMs: 600_000,
};
const cut = (samples: readonly RoleSample[], more: Partial<ThresholdConfig> = {}): readonly Run[] =>
  closedRuns(advance(thresholdSegmenter("CT-A1", { ...config, ...more }), samples).out);
const level = (fromS: number, toS: number, value: number): readonly RoleSample[] =>
  everySecond("rms", fromS, toS, value);

test("a run lasts from where the value first rose to where it first fell, once each has held", () => {
  expect(cut([...level(0, 10, 0), ...level(10, 40, 1), ...level(40, 50, 0)]).map(inShort)).toEqual([
    "10-40 end-condition",
  ]);
});

test("a rise shorter than the hold opens nothing, a dip shorter than the hold closes nothing", () => {
  const blip = [...level(0, 5, 0), ...level(5, 8, 1), ...level(8, 20, 0)];
  const dip = [...level(20, 30, 1), ...level(30, 33, 0), ...level(33, 40, 1), ...level(40, 50, 0)];
  expect(cut([...blip, ...dip]).map(inShort)).toEqual(["20-40 end-condition"]);
});

test("between the lines nothing happens", () => {
  const wavering = [
    ...level(0, 5, 0),
    ...level(5, 10, 0.4),
    ...level(10, 20, 1),
    ...level(20, 60, 0.3),
    ...level(60, 70, 0),
  ];
  expect(cut(wavering).map(inShort)).toEqual(["10-60 end-condition"]);
});

test("on a line is not beyond it", () => {
  expect(cut([...level(0, 5, 0), ...level(5, 20, 0.5), ...level(20, 30, 0)])).toEqual([]);
  expect(cut([...level(0, 5, 0), ...level(5, 20, 1), ...level(20, 30, 0.2), ...level(30, 40, 0)]).map(inShort)).toEqual(
    ["5-30 end-condition"],
  );
});

test("a stream that begins above opens nothing until it has been below", () => {
  expect(cut([...level(0, 30, 1), ...level(30, 40, 0), ...level(40, 50, 1), ...level(50, 60, 0)]).map(inShort)).toEqual(
    ["40-50 end-condition"],
  );
});

test("after a silence, too, the value must be below before it can rise", () => {
  const samples = [...level(0, 5, 0), ...level(5, 20, 1), ...level(100, 130, 1), ...level(130, 140, 0)];
  expect(cut(samples).map(inShort)).toEqual(["5-19 gap"]);
});

test("a run that never falls ends at its timeout, and the value must fall before the next", () => {
  const samples = [
    ...level(0, 5, 0),
    ...level(5, 700, 1),
    ...level(700, 710, 0),
    ...level(710, 720, 1),
    ...level(720, 730, 0),
  ];
  expect(cut(samples).map(inShort)).toEqual(["5-605 timeout", "710-720 end-condition"]);
});

test("readings without a number or not good neither confirm nor break a hold", () => {
  const bad = (tS: number): RoleSample => ({ ...at(tS, "rms", 9), quality: "bad" });
  const samples = inTimeOrder(level(0, 5, 0), [bad(2), bad(3), bad(4)], level(5, 6, 1), [
    at(6, "rms", null),
    bad(7),
    at(8, "rms", 1),
    at(20, "rms", 0),
    at(23, "rms", 0),
  ]);
  expect(cut(samples).map(inShort)).toEqual(["5-20 end-condition"]);
});

test("what events tell from the rise on joins the run, what they told before does not", () => {
  const told = [
    at(3, "scan", 1, { flask: "F-1" }),
    at(11, "scan", 1, { flask: "F-2" }),
    at(20, "scan", 1, { part: "OFW-2130" }),
  ];
  const samples = inTimeOrder(level(0, 10, 0), level(10, 40, 1), level(40, 50, 0), told);
  expect(cut(samples)[0]!.context).toEqual({ flask: "F-2", part: "OFW-2130" });
});

test("without a hold the first reading beyond decides", () => {
  const samples = [at(0, "rms", 0), at(1, "rms", 1), at(2, "rms", 0), at(3, "rms", 1), at(5, "rms", 0)];
  expect(cut(samples, { holdMs: 0 }).map(inShort)).toEqual(["1-2 end-condition", "3-5 end-condition"]);
});

test.each([
  [{ opensAbove: 0.1 }, "open at or above where it closes"],
  [{ closesBelow: Number.NaN }, "open at or above where it closes"],
  [{ holdMs: -1 }, "a hold must be 0 ms or more"],
  [{ timeoutMs: -5 }, "a timeout above 0"],
])("%j cannot cut runs", (wrong, why) => {
  expect(() => thresholdSegmenter("CT-A1", { ...config, ...wrong })).toThrow(why);
});
