import { expect, test } from "vitest";
import type { Characteristic } from "../../../../spc/model/characteristic.ts";
import type { PointRecord } from "../../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../../spc/model/limit-set.ts";
import type { Signal } from "../../../../spc/model/signal.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { MonitorInput } from "../../../../spc/monitor/characteristic-monitor.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import type { ChartWindow } from "../../../../spc/proposal/chart-window.ts";
import { replaySteps } from "../../../../spc/proposal/replay.ts";
import { sinceWhen } from "../../../../spc/proposal/since-when.ts";
import { drained } from "../../../drained.ts";
import { granted, plateau } from "../press-fixtures.ts";
import { left, requestOf, steady, trialOf, windowOf } from "./trial-cases.ts";

const averages: Characteristic = { ...plateau, chart: "averages-with-s", subgroup: { runs: 4 } };
const weighted: Characteristic = { ...plateau, chart: "ewma", ewma: { lambda: 0.2, width: 2.86 } };
const lone = steady(120);

function setOf(characteristic: Characteristic, window: ChartWindow): LimitSet {
  const { limits } = granted(trialOf(requestOf(window, { characteristic })).trial);
  return {
    ...limits,
    ...{ id: `${characteristic.id}@1`, characteristic: characteristic.id, revision: 1, effectiveFromMs: 0 },
    ...{ frozenAtMs: 1, proposedBy: "Process engineer", agreedBy: "Works manager", reason: "test", engine: "test" },
  };
}

function live(characteristic: Characteristic, set: LimitSet, window: ChartWindow) {
  const runs = window.runs.map(({ run, atMs, value }): MonitorInput => ({ kind: "point", run, atMs, value }));
  const { out } = advance(characteristicMonitor(characteristic), [{ kind: "limits", set }, ...runs]);
  const points = out.flatMap((one): PointRecord[] => (one.kind === "point" ? [one.point] : []));
  const signals = new Map<string, Signal[]>();
  for (const one of out) {
    if (one.kind === "signal") signals.set(one.signal.run, [...(signals.get(one.signal.run) ?? []), one.signal]);
  }
  return { points, signals };
}

test.each([averages, weighted])("points of a trial are those that $chart would give live", (characteristic) => {
  const window = windowOf(lone);
  const trial = trialOf(requestOf(window, { characteristic }));
  const { points } = live(characteristic, setOf(characteristic, window), window);
  expect(trial.points).toHaveLength(points.length);
  trial.points.forEach(({ run, trial: { location, spread } }, i) => {
    const own = points[i]!;
    expect(run).toBe(own.run);
    expect(location.value).toBeCloseTo(own.location.value!, 12);
    expect(location.upper).toBeCloseTo(own.location.upper!, 12);
    expect(location.verdict).toBe(own.location.verdict);
    expect(spread.value === null).toBe(own.spread.value === null);
    if (spread.value !== null) expect(spread.value).toBeCloseTo(own.spread.value!, 12);
  });
});

test("a run that is left out takes its whole subgroup with it", () => {
  const window = windowOf(lone.with(41, 0.99));
  const trial = trialOf(requestOf(window, { characteristic: averages, exclusions: [left(41)] }));
  const { limits } = granted(trial.revised!);
  expect(Object.keys(limits.baseline.excluded)).toEqual([40, 41, 42, 43].map((i) => `PR-01:${i}`));
  expect(limits.baseline.n).toBe(29);
  expect(trial.points[10]).toMatchObject({ excluded: true, run: "PR-01:43", value: expect.any(Number) });
  expect(trial.points[10]!.revised!.location.verdict).toBe("above");
  expect(trial.points[10]!.members).toHaveLength(4);
  const kept = lone.filter((_, i) => i < 40 || i > 43);
  expect(limits.location.centre).toBeCloseTo(kept.reduce((sum, value) => sum + value, 0) / kept.length, 12);
});

test("averages that vary more than their runs explain are told in the chart's own words", () => {
  const drifting = lone.map((value, i) => value + 0.02 * Math.sin(Math.floor(i / 4)));
  const trial = trialOf(requestOf(windowOf(drifting), { characteristic: averages }));
  const caution = trial.cautions.find(({ code }) => code === "between-subgroups");
  expect(caution?.text).toMatch(/\w+ \w+ \w+/);
});

test("too few subgroups are refused, however many runs there are", () => {
  const trial = trialOf(requestOf(windowOf(lone.slice(0, 80)), { characteristic: averages }));
  expect(trial.trial).toMatchObject({ ok: false, refusal: { code: "too-few", needs: 25, has: 20 } });
});

test.each([averages, weighted])("limits of $chart are replayed as they signalled", (characteristic) => {
  const set = setOf(characteristic, windowOf(lone));
  const window = windowOf(steady(160, 3).map((value, i) => (i >= 100 && i < 120 ? value + 0.01 : value)));
  const { signals, points } = live(characteristic, set, window);
  const replay = drained(replaySteps(characteristic, set, window, signals, null));
  expect(replay.proposed).toEqual(replay.inForce);
  expect(replay.proposed.runs).toBeGreaterThan(0);
  expect(replay.values).toBe(points.length);
});

test.each([averages, weighted])(
  "the change behind a flag of $chart is dated by what went into the chart",
  (characteristic) => {
    const set = setOf(characteristic, windowOf(lone));
    const window = windowOf(steady(160, 4).map((value, i) => (i < 100 ? value : value + 0.006)));
    const { points, signals } = live(characteristic, set, window);
    const flagged = points.find(
      ({ run, subgroup }) => signals.has(run) && subgroup >= (characteristic === averages ? 25 : 100),
    )!;
    const found = granted(sinceWhen(points, set, { run: flagged.run, correctedAfter: null }));
    const first = Number(found.first.run.slice(6));
    expect(Math.abs(first - 100)).toBeLessThanOrEqual(characteristic === averages ? 8 : 6);
    expect(found.after).toBeGreaterThan(found.before);
    expect(found.after).toBeLessThan(found.before + 0.015);
  },
);
