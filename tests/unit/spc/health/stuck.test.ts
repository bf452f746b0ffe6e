import { expect, test } from "vitest";
import { type StuckPlan, stuckAfter, stuckWatch } from "../../../../spc/health/stuck.ts";
import { saidOf, same } from "./readings.ts";

const press: StuckPlan = { noise: 0.006, step: 0.001, everyMs: 50, unit: "bar" };
const oven: StuckPlan = { noise: 0.05, step: 0.1, everyMs: 1_000, unit: "Cel" };

test("a transmitter that repeats one value is stuck from its first repetition on, and is told once", () => {
  const said = saidOf(stuckWatch(press), [0.9, ...same(0.431, 1_500)], 50);
  expect(said).toHaveLength(1);
  expect(said[0]).toMatchObject({ sinceMs: 50, finding: { check: "stuck", verdict: "fault" } });
  expect(said[0]!.finding.says).toMatch(
    /^read 0\.431 bar 101 times in a row over 5 s; its noise of 0\.006 bar leaves that to chance less than once in a million days$/,
  );
});

test("the first reading that differs ends it", () => {
  const said = saidOf(stuckWatch(press), [...same(0.431, 200), 0.432, 0.431], 50);
  expect(said.map(({ sinceMs, finding }) => [sinceMs, finding.verdict])).toEqual([
    [0, "fault"],
    [10_000, "well"],
  ]);
});

test("no time and no count is enough alone: neither fast repeats nor few slow ones", () => {
  expect(saidOf(stuckWatch(press), [...same(0.431, 99), 0.432], 50)).toEqual([]);
  expect(saidOf(stuckWatch({ ...press, everyMs: 60_000 }), [...same(0.431, 9), 0.432], 60_000)).toEqual([]);
  expect(saidOf(stuckWatch({ ...press, everyMs: 60_000 }), same(0.431, 10), 60_000)).toHaveLength(1);
});

test("a coarse step asks for more repetitions, and one that hides the noise for ever", () => {
  expect(stuckAfter(oven)).toBeGreaterThan(stuckAfter({ ...oven, step: 0.01 }));
  expect(stuckAfter({ ...oven, step: 10 })).toBe(Number.POSITIVE_INFINITY);
  expect(saidOf(stuckWatch({ ...oven, step: 10 }), same(55, 5_000))).toEqual([]);
});

test("an instrument without a stated step is asked for ten repetitions", () => {
  expect(stuckAfter({ ...oven, step: 0 })).toBe(10);
});
