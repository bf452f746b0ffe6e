import { expect, test } from "vitest";
import { clippedWatch } from "../../../../spc/health/clipped.ts";
import { noValueWatch, type Wiring } from "../../../../spc/health/no-value.ts";
import type { Quality } from "../../../../spc/model/sample.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { saidOf, same } from "./readings.ts";

const range = { lower: -1, upper: 2.5, loop: false, step: 0.001, unit: "bar" };

test("readings at the end of the range are a bound: undecided, whoever is to blame", () => {
  const [found, ...rest] = saidOf(clippedWatch(range), [1, 2.4, 2.5, 2.5, 2.5, 2.5]);
  expect(rest).toEqual([]);
  expect(found).toMatchObject({ sinceMs: 2_000, finding: { check: "clipped", verdict: "undecided" } });
  expect(found?.finding.says).toMatch(/^stood at the upper end of its range, 2\.5 bar, for 3 readings over 2 s/);
});

test("two at the end are a spike, and the lower end counts alike", () => {
  expect(saidOf(clippedWatch(range), [1, 2.5, 2.5, 1, 2.5, 2.5, 1])).toEqual([]);
  const said = saidOf(clippedWatch(range), [...same(-1, 5), 0, 0]);
  expect(said.map(({ finding }) => finding.verdict)).toEqual(["undecided", "well"]);
});

test("a loop goes on beyond 20 mA, and clips at 20.5", () => {
  expect(saidOf(clippedWatch({ ...range, loop: true }), same(2.5, 10))).toEqual([]);
  expect(saidOf(clippedWatch({ ...range, loop: true }), same(2.61, 3))).toHaveLength(1);
});

const bad = (count: number, fromMs: number) =>
  Array.from({ length: count }, (_, i) => ({ tMs: fromMs + i * 1_000, value: null, quality: "bad" as Quality }));
const good = (tMs: number) => ({ tMs, value: 55, quality: "good" as Quality });

test.each<[Wiring, string, RegExp]>([
  ["thermocouple", "open-circuit", /gave no value 6 times in a row over 5 s: the thermocouple or its cable is open/],
  ["loop", "loop-fault", /its loop is at 3\.6 mA or below, or at 21 mA or above/],
  ["other", "no-value", /does not vouch for it/],
])("of a %s, readings without a value are called %s", (wiring, check, says) => {
  const { out } = advance(noValueWatch(wiring), [good(0), ...bad(20, 1_000), good(30_000)]);
  expect(out.map(({ sinceMs, finding }) => [sinceMs, finding.check, finding.verdict])).toEqual([
    [1_000, check, "fault"],
    [30_000, check, "well"],
  ]);
  expect(out[0]?.finding.says).toMatch(says);
});

test("a reading refused now and then is none", () => {
  const { out } = advance(noValueWatch("loop"), [...bad(2, 0), good(2_000), ...bad(2, 9_000), good(20_000)]);
  expect(out).toEqual([]);
});

test("a number that the gateway does not vouch for is no value either", () => {
  const doubted = bad(9, 0).map((one) => ({ ...one, value: 3 }));
  expect(advance(noValueWatch("other"), doubted).out).toHaveLength(1);
});
