import { expect, test } from "vitest";
import { columnFrom, constantColumn } from "../../../../spc/model/column.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { signalsOf } from "../../../../spc/rules/signals-of.ts";

function chart(values: readonly (number | null)[], more: Partial<DrawnChart> = {}): DrawnChart {
  const line = (value: number | null) => constantColumn(value, values.length);
  return {
    kind: "individuals",
    provenance: { estimator: "given", from: 0, to: values.length, n: values.length, k: 3 },
    refusal: null,
    values: columnFrom(values),
    centres: line(0),
    sigmas: line(1),
    lower: line(-3),
    upper: line(3),
    patterns: "all",
    anew: [],
    ...more,
  };
}

test("a point may complete several rules, listed in their order, each with its members", () => {
  const signals = signalsOf(chart([2.5, null, 3.5]), ruleIds);
  expect(signals.any(0)).toBe(false);
  expect(signals.any(1)).toBe(false);
  expect(signals.at(2)).toEqual([
    { rule: "beyond-limit", side: "above", members: [2] },
    { rule: "two-of-three-beyond-two-sigma", side: "above", members: [0, 2] },
  ]);
  expect(signalsOf(chart([2.5, null, 3.5]), ["beyond-limit"]).at(2)).toHaveLength(1);
});

test("nothing is said of places that are not there, of an empty chart, or for no rules", () => {
  const signals = signalsOf(chart([9]), ruleIds);
  for (const place of [-1, 1, 0.5]) {
    expect(signals.any(place)).toBe(false);
    expect(signals.at(place)).toEqual([]);
  }
  expect(signalsOf(chart([]), ruleIds).length).toBe(0);
  expect(signalsOf(chart([9, 9]), []).any(1)).toBe(false);
});

test("a chart whose lines are refused marks nothing, and constant columns of values are judged too", () => {
  const none = constantColumn(null, 20);
  const refused = { centres: none, sigmas: none, lower: none, upper: none };
  const values = Array.from({ length: 20 }, () => 9);
  const unruled = signalsOf(chart(values, refused), ruleIds);
  expect(values.some((_, place) => unruled.any(place))).toBe(false);
  const constant = signalsOf(chart(values, { values: constantColumn(9, 20) }), ruleIds);
  expect(constant.at(19).map(({ rule }) => rule)).toEqual([
    "beyond-limit",
    "nine-on-one-side",
    "two-of-three-beyond-two-sigma",
    "four-of-five-beyond-one-sigma",
  ]);
  const missing = signalsOf(chart(values, { values: none }), ruleIds);
  expect(values.some((_, place) => missing.any(place))).toBe(false);
});

test("limits closer than the last bits, and values far from zero, are judged as one by one", () => {
  const far = 1e7 + 0.1;
  const values = [far + 3e-3, far + 3e-3 + 1e-8, far + 3e-3 + 1e-4];
  const lines = {
    centres: constantColumn(far, 3),
    sigmas: constantColumn(1e-3, 3),
    lower: constantColumn(far - 3e-3, 3),
    upper: constantColumn(far + 3e-3, 3),
  };
  const signals = signalsOf(chart(values, lines), ["beyond-limit"]);
  expect([0, 1, 2].map((place) => signals.any(place))).toEqual([false, false, true]);
});
