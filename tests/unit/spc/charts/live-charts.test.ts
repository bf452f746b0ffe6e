import { expect, test } from "vitest";
import { ewmaSchemeOf } from "../../../../spc/charts/ewma-live.ts";
import { chartPairOf } from "../../../../spc/charts/pair.ts";
import { averageLive } from "../../../../spc/charts/subgroup-live.ts";
import { limitsOf } from "../press-fixtures.ts";

const spacing = { everyMs: 1000 };

test("each chart has its pair: an EWMA of subgroups is read beside the spread within them", () => {
  const kinds = (as: Parameters<typeof chartPairOf>[0]) => chartPairOf(as).kinds;
  expect(kinds({ chart: "individuals" })).toEqual(["individuals", "moving-range"]);
  expect(kinds({ chart: "averages-with-s", subgroup: { runs: 4 } })).toEqual(["average", "standard-deviation"]);
  expect(kinds({ chart: "ewma" })).toEqual(["ewma", "moving-range"]);
  expect(kinds({ chart: "ewma", subgroup: { runs: 4 } })).toEqual(["ewma", "standard-deviation"]);
});

test("single runs go to individuals and moving ranges as they are, and a place without a value bridges no range", () => {
  const pair = chartPairOf({ chart: "individuals" });
  const stage = pair.spread(limitsOf(), spacing);
  const place = (subgroup: number, values: readonly number[]) => ({ subgroup, atMs: subgroup * 1000, values });
  const first = stage.step(stage.initial, place(0, [0.92]));
  const second = stage.step(first.state, place(1, [0.93]));
  const third = stage.step(second.state, place(2, []));
  expect(second.out[0]!.point.value).toBeCloseTo(0.01, 12);
  expect(third.out[0]!.point.verdict).toBe("not-evaluable");
  expect(() => stage.step(stage.initial, place(0, [1, 2]))).toThrow(RangeError);
});

test("lines of subgroups or of an EWMA cannot be had from a set without a scheme", () => {
  const stage = averageLive(limitsOf());
  expect(() => stage.step(null, { subgroup: 0, atMs: 0, values: [1, 2] })).toThrow(/scheme/);
  expect(() => ewmaSchemeOf(limitsOf())).toThrow(/lambda/);
});
