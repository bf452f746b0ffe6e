import { expect, test } from "vitest";
import type { PointRecord } from "../../../../spc/model/journal-entry.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { sinceWhen } from "../../../../spc/proposal/since-when.ts";
import { staleLimits } from "../../../../spc/proposal/stale-limits.ts";
import { granted, limitsOf, plateau } from "../press-fixtures.ts";
import { steady, windowOf } from "./trial-cases.ts";

const set = { ...limitsOf(), effectiveFromMs: 0 };

function pointsOf(values: readonly (number | null)[]): PointRecord[] {
  const inputs = windowOf(values).runs.map(({ run, atMs, value }) => ({ kind: "point" as const, run, atMs, value }));
  const { out } = advance(characteristicMonitor(plateau), [{ kind: "limits", set }, ...inputs]);
  return out.flatMap((one) => (one.kind === "point" ? [one.point] : []));
}

test("the change is dated to where the level moved, not to where it was signalled", () => {
  const values = steady(80, 3).map((value, i) => (i < 60 ? value : value + 0.009));
  const points = pointsOf(values);
  const flagged = points.find(({ subgroup, signals }) => subgroup >= 60 && signals.length > 0)!;
  const found = granted(sinceWhen(points, set, { run: flagged.run, correctedAfter: null }));
  expect(Math.abs(found.first.subgroup - 60)).toBeLessThanOrEqual(3);
  expect(found.set.map(({ subgroup }) => subgroup)).toContain(60);
  expect(found.before).toBe(set.location.centre);
});

test("what was corrected before is not dated again", () => {
  const values = steady(80, 3).map((value, i) => (i >= 20 && i < 40 ? value + 0.012 : i === 79 ? 0.95 : value));
  const points = pointsOf(values);
  const whole = granted(sinceWhen(points, set, { run: points[79]!.run, correctedAfter: null }));
  const after = granted(sinceWhen(points, set, { run: points[79]!.run, correctedAfter: points[40]!.run }));
  expect(whole.first.subgroup).toBeLessThan(41);
  expect(after.first.subgroup).toBeGreaterThan(40);
});

test("a flag whose first run is not at hand is refused, not guessed", () => {
  const found = sinceWhen(pointsOf(steady(10)), set, { run: "PR-01:none", correctedAfter: null });
  expect(found).toMatchObject({ ok: false, refusal: { code: "no-value" } });
});

test("limits are to be looked at again when they are old, few, or no longer what the settings ask for", () => {
  const day = 24 * 3_600_000;
  const codes = (nowMs: number, valuesSince: number, change: Partial<typeof set> = {}): string[] =>
    staleLimits({ ...set, frozenAtMs: 0, ...change }, plateau, { nowMs, valuesSince }).map(({ code }) => code);
  expect(codes(day, 1_000)).toEqual([]);
  expect(codes(181 * day, 0)).toEqual(["old-limits"]);
  const few = { baseline: { ...set.baseline, n: 40 } };
  expect(codes(day, 99, few)).toEqual([]);
  expect(codes(day, 100, few)).toEqual(["few-values"]);
  expect(codes(day, 0, { rules: ["beyond-limit"] })).toEqual(["settings-changed"]);
  expect(codes(day, 0, { rules: plateau.rules.toReversed() })).toEqual([]);
  expect(codes(day, 0, { unit: "kPa" })).toEqual(["settings-changed"]);
});
