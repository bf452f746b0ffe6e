import { expect, test } from "vitest";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { subgroupsOf } from "../../../../spc/proposal/chart-window.ts";
import { granted, plateau } from "../press-fixtures.ts";
import { left, requestOf, steady, trialOf, windowOf } from "./trial-cases.ts";

const withOutlier = (): number[] => steady(60).with(30, 0.97);

test("the lines that points are judged by are those that would rule", () => {
  const window = windowOf(withOutlier());
  const trial = trialOf(requestOf(window, { exclusions: [left(30)] }));
  for (const [side, key] of [
    [trial.trial, "trial"],
    [trial.revised!, "revised"],
  ] as const) {
    const { location, spread } = granted(side).limits;
    for (const point of trial.points) {
      expect(point[key]!.location.centre).toBeCloseTo(location.centre, 12);
      expect(point[key]!.location.upper).toBeCloseTo(location.upper, 12);
      expect(point[key]!.location.lower).toBeCloseTo(location.lower, 12);
      expect(point[key]!.spread.upper).toBeCloseTo(spread.upper, 12);
    }
  }
});

test("trial limits are those that the command would set from the same runs", () => {
  const window = windowOf(steady(60));
  const { everyMs } = window;
  const set = granted(
    proposeLimits({
      ...{ pair: plateau.chart, subgroups: subgroupsOf(window.runs), everyMs, unit: "bar" },
      ...{ rules: plateau.rules, basis: "chart", excluded: {}, imported: new Set<string>() },
    }),
  );
  expect(granted(trialOf(requestOf(window)).trial).limits).toEqual(set);
});

test("a run is left out with its cause: its own point and both its ranges no longer count", () => {
  const values = withOutlier();
  const trial = trialOf(requestOf(windowOf(values), { exclusions: [left(30)] }));
  const [first, second] = [granted(trial.trial), granted(trial.revised!)];
  expect(first).toMatchObject({ limits: { baseline: { n: 60, excluded: {} } } });
  expect(second).toMatchObject({ limits: { baseline: { n: 59, excluded: { "PR-01:30": "steam supply" } } } });
  const kept = values.filter((_, i) => i !== 30);
  const mean = kept.reduce((sum, value) => sum + value, 0) / 59;
  const ranges = values.flatMap((value, i) =>
    i === 0 || i === 30 || i === 31 ? [] : [Math.abs(value - values[i - 1]!)],
  );
  const sigma = ranges.reduce((sum, range) => sum + range, 0) / ranges.length / 1.1283791670955126;
  expect(second.limits.location.centre).toBeCloseTo(mean, 12);
  expect(second.limits.location.upper).toBeCloseTo(mean + 3 * sigma, 9);
  expect(trial.points[30]).toMatchObject({ excluded: true, revised: { location: { value: 0.97, verdict: "above" } } });
  expect(trial.points[31]!.revised!.spread).toMatchObject({ value: null, verdict: "not-evaluable" });
  expect(trial.points[31]!.trial.signals).toContainEqual(expect.objectContaining({ on: "spread", side: "above" }));
  expect(trial.points[31]!.revised!.signals).toEqual([]);
});

test("a signal without a cause counts as unexplained, on the trial limits and on the revised ones", () => {
  const values = withOutlier().with(50, 0.98);
  const trial = trialOf(requestOf(windowOf(values), { exclusions: [left(30)] }));
  expect(trial.points[50]!.revised!.signals.map(({ rule, on }) => [rule, on])).toContainEqual([
    "beyond-limit",
    "location",
  ]);
  expect(granted(trial.revised!).unexplained).toBeGreaterThan(0);
  expect(trial.capability.cpk).toMatchObject({ refusal: { code: "not-stable" } });
});

test("a place without a value is held, and after a long pause nothing is bridged", () => {
  const values = steady(60);
  const holed = values.map((value, i) => (i === 10 ? null : value));
  const trial = trialOf(requestOf(windowOf(holed, { 20: 10 * plateau.everyMs })));
  expect(trial.points[10]).toMatchObject({ value: null, refusal: { code: "no-plateau" } });
  expect(trial.points[10]!.trial.location.verdict).toBe("not-evaluable");
  expect(trial.points[11]!.trial.spread.value).toBeNull();
  expect(trial.points[20]).toMatchObject({ anew: true, trial: { spread: { value: null } } });
  expect(trial.points.filter(({ anew }) => anew)).toHaveLength(1);
});

test("too few runs give no limits, and then no point counts as within any", () => {
  const trial = trialOf(requestOf(windowOf(steady(12))));
  expect(trial.trial).toMatchObject({ ok: false, refusal: { code: "too-few", needs: 25, has: 12 } });
  expect(trial.chance).toBeNull();
  for (const { trial: judged } of trial.points) {
    expect(judged.location).toMatchObject({ verdict: "not-evaluable", upper: null });
    expect(judged.signals).toEqual([]);
  }
});

test("beyond a third left out the revised limits are refused, and the trial ones stay", () => {
  const exclusions = Array.from({ length: 21 }, (_, i) => left(i * 2));
  const trial = trialOf(requestOf(windowOf(steady(60)), { exclusions }));
  expect(trial.trial.ok).toBe(true);
  expect(trial.revised).toMatchObject({ ok: false, refusal: { code: "too-many-excluded" } });
  expect(trial.chance).toBeNull();
  expect(trial.points.every(({ revised }) => revised === null)).toBe(true);
});

test("a step in the window is found and told in its place", () => {
  const values = steady(80).map((value, i) => (i < 40 ? value : value + 0.02));
  const trial = trialOf(requestOf(windowOf(values)));
  const change = granted(trial.change);
  expect(change.index).toBe(40);
  expect(change.set).toContain(40);
  expect(trial.cautions.map(({ code }) => code)).toContain("step-in-baseline");
});

test("cautions are words with their numbers", () => {
  const trial = trialOf(requestOf(windowOf(steady(40))));
  expect(trial.cautions.find(({ code }) => code === "few-values")?.text).toBe(
    "the limits rest on 40 values and are provisional below 100",
  );
});

test("on the overall basis only limits signal, and the price is theirs", () => {
  const values = steady(100);
  const trial = trialOf(requestOf(windowOf(values), { basis: "overall" }));
  expect(granted(trial.trial).limits).toMatchObject({ basis: "overall", estimator: "overall" });
  expect(trial.chance?.rules).toEqual(["beyond-limit"]);
  expect(trial.chance?.onceIn).toBeCloseTo(370.398, 2);
});

test("a window of nothing but missing values is refused, not drawn", () => {
  const trial = trialOf(requestOf(windowOf(Array.from({ length: 30 }, () => null))));
  expect(trial.trial).toMatchObject({ ok: false, refusal: { code: "too-few" } });
  expect(trial.change.ok).toBe(false);
});
