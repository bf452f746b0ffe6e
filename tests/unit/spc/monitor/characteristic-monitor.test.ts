import { expect, test } from "vitest";
import type { PointRecord } from "../../../../spc/model/journal-entry.ts";
import type { Signal } from "../../../../spc/model/signal.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { MonitorInput } from "../../../../spc/monitor/characteristic-monitor.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { limitsOf, plateau, points, runOf, timeOf } from "../press-fixtures.ts";

const limits: MonitorInput = { kind: "limits", set: limitsOf() };
const done = (place: number): MonitorInput => ({ kind: "done", flag: flag(place) });
const flag = (place: number): string => `PR-01:mold.plateau:${runOf(place).slice("PR-01:".length)}`;

/** Inside everything, on alternating sides of the centre so that no run rule ever starts. */
const calm = (n: number): number[] => Array.from({ length: n }, (_, i) => (i % 2 === 0 ? 0.921 : 0.919));

function watch(inputs: readonly MonitorInput[], characteristic = plateau) {
  const { out, state } = advance(characteristicMonitor(characteristic), inputs);
  const seen = {
    points: out.flatMap((one): PointRecord[] => (one.kind === "point" ? [one.point] : [])),
    signals: out.flatMap((one): Signal[] => (one.kind === "signal" ? [one.signal] : [])),
  };
  return { ...seen, state, fired: seen.signals.map(({ run, rule, on, side }) => [run, rule, on, side]) };
}

test("without limits a point is drawn and not judged, but its specification is", () => {
  const { points: drawn, signals } = watch(points([0.92, 0.87]));
  expect(drawn[0]).toEqual({
    characteristic: "PR-01:mold.plateau",
    run: runOf(0),
    subgroup: 0,
    atMs: timeOf(0),
    imported: false,
    limitSet: null,
    location: { subgroup: 0, value: 0.92, centre: null, lower: null, upper: null, verdict: "not-evaluable" },
    spread: { subgroup: 0, value: null, centre: null, lower: null, upper: null, verdict: "not-evaluable" },
    refusal: { code: "no-limits", detail: "no limits are in force yet" },
    signals: [],
  });
  expect(drawn[1]!.spread.value).toBeCloseTo(0.05, 12);
  expect(signals).toEqual([
    {
      id: `PR-01:mold.plateau/${runOf(1)}/specification/outside-specification/below`,
      characteristic: "PR-01:mold.plateau",
      station: "PR-01",
      run: runOf(1),
      rule: "outside-specification",
      side: "below",
      on: "specification",
      limitSet: null,
      members: [runOf(1)],
      value: 0.87,
      line: 0.88,
      z: null,
      atMs: timeOf(1),
      flag: flag(1),
      label: "for-review",
      doFirst: null,
      says: "outside what the mould needs",
    },
  ]);
  expect(drawn[1]!.signals).toEqual([signals[0]!.id]);
});

test("a point beyond a limit gives one signal with the line it crossed and the policy's words", () => {
  const { points: drawn, signals } = watch([limits, ...points([0.92, 0.9079])]);
  const { spread, location } = drawn[1]!;
  expect([location.verdict, spread.verdict]).toEqual(["below", "within"]);
  expect(signals).toHaveLength(1);
  expect(signals[0]).toMatchObject({
    id: `PR-01:mold.plateau@1/${runOf(1)}/location/beyond-limit/below`,
    line: 0.908,
    label: "look",
    doFirst: "Compare with the header",
    says: "plateau too low",
    flag: flag(1),
    limitSet: "PR-01:mold.plateau@1",
    members: [runOf(1)],
  });
  expect(signals[0]!.z).toBeCloseTo(-3.025, 9);
});

test("a value exactly on a limit or on the specification is no signal", () => {
  expect(watch([limits, ...points([0.92, 0.908, 0.92, 0.932])]).fired).toEqual([]);
  expect(watch(points([0.88, 0.96])).fired).toEqual([]);
});

test("a jump inside the limits signals on the spread, whose only rule is its limit", () => {
  const { fired } = watch([limits, ...points([0.91, 0.931, ...Array.from({ length: 9 }, () => 0.931)])]);
  expect(fired.filter(([, , on]) => on === "spread")).toEqual([[runOf(1), "beyond-limit", "spread", "above"]]);
});

test("nine runs on one side complete at the ninth and every further one, and list their runs", () => {
  const { signals } = watch([limits, ...points([0.919, ...Array.from({ length: 11 }, () => 0.922)])]);
  expect(signals.map(({ run }) => run)).toEqual([runOf(9), runOf(10), runOf(11)]);
  expect(signals[0]!.members).toEqual(Array.from({ length: 9 }, (_, i) => runOf(i + 1)));
  expect(signals[0]).toMatchObject({ rule: "nine-on-one-side", side: "above", line: 0.92, label: "for-review" });
});

test("signals of any rule and run join the flag while it is open; only its done lets the next one open", () => {
  const values = [0.9, 0.9, 0.912, 0.87];
  const joined = watch([limits, ...points(values)]);
  expect(new Set(joined.signals.map((signal) => signal.flag))).toEqual(new Set([flag(0)]));
  expect(joined.state.flag).toBe(flag(0));

  const foreign = watch([limits, ...points(values.slice(0, 2)), done(7), ...points(values.slice(2), 2)]);
  expect(new Set(foreign.signals.map((signal) => signal.flag))).toEqual(new Set([flag(0)]));

  const closed = watch([limits, ...points(values.slice(0, 2)), done(0), ...points(values.slice(2), 2)]);
  expect(closed.signals.map((signal) => signal.flag).slice(-1)).toEqual([flag(3)]);
});

test("after done a run rule needs nine new runs, while the moving range still looks back one", () => {
  const high = (n: number): number[] => Array.from({ length: n }, () => 0.922);
  const { signals, points: drawn } = watch([limits, ...points(high(9)), done(8), ...points(high(9), 9)]);
  expect(signals.map(({ run }) => run)).toEqual([runOf(8), runOf(17)]);
  expect(signals[1]!.flag).toBe(flag(17));
  expect(drawn[9]!.spread.value).toBe(0);
});

test("a missing value is not-evaluable with its own reason, and breaks no run for three places", () => {
  const high = (n: number): number[] => Array.from({ length: n }, () => 0.922);
  const hole = (n: number): null[] => Array.from({ length: n }, () => null);
  expect(watch([limits, ...points([...high(5), ...hole(3), ...high(4)])]).fired).toHaveLength(1);
  expect(watch([limits, ...points([...high(5), ...hole(4), ...high(4)])]).fired).toHaveLength(0);

  const refusal = { code: "coverage-too-low", detail: "half of the readings are there" };
  const missing: MonitorInput = { kind: "point", run: runOf(0), atMs: timeOf(0), value: null, refusal };
  expect(watch([limits, missing]).points[0]).toMatchObject({ refusal, location: { verdict: "not-evaluable" } });
  const silent: MonitorInput = { kind: "point", run: runOf(0), atMs: timeOf(0), value: null };
  expect(watch([limits, silent]).points[0]!.refusal?.code).toBe("no-value");
  expect(watch([limits, { ...silent, value: Number.NaN }]).points[0]!.refusal?.code).toBe("not-a-number");
});

test("new limits rule from their own source time on, never back, and run rules do not look across", () => {
  const high = (n: number): number[] => Array.from({ length: n }, () => 0.922);
  const later = limitsOf(plateau, 2, { effectiveFromMs: timeOf(8) });
  const next: MonitorInput = { kind: "limits", set: later };
  const { points: drawn, fired } = watch([limits, ...points(high(5)), next, ...points(high(11), 5)]);
  expect(drawn.map(({ limitSet }) => limitSet?.at(-1))).toEqual([..."1111111122222222"]);
  expect(fired).toEqual([]);
  expect(drawn[8]!.spread.value).toBeNull();
});

test("of several sets whose time has come the latest put in force rules", () => {
  const second = limitsOf(plateau, 2, { effectiveFromMs: timeOf(2) });
  const third = limitsOf(plateau, 3, { effectiveFromMs: timeOf(4) });
  const waiting = watch([limits, { kind: "limits", set: second }, { kind: "limits", set: third }, ...points(calm(6))]);
  expect(waiting.points.map(({ limitSet }) => limitSet?.at(-1))).toEqual([..."112233"]);
  const overtaken = watch([
    { kind: "limits", set: third },
    { kind: "limits", set: second },
    limits,
    ...points(calm(6)),
  ]);
  expect(overtaken.points.map(({ limitSet }) => limitSet?.at(-1))).toEqual([..."111111"]);
});

test("with the basis overall run rules open no flag, limits and specification do", () => {
  const overall: MonitorInput = { kind: "limits", set: limitsOf(plateau, 1, { basis: "overall" }) };
  const values = [...Array.from({ length: 20 }, () => 0.922), 0.97];
  expect(watch([overall, ...points(values)]).fired).toEqual([
    [runOf(20), "outside-specification", "specification", "above"],
    [runOf(20), "beyond-limit", "location", "above"],
    [runOf(20), "beyond-limit", "spread", "above"],
  ]);
});

test("one-sided specifications judge their side only", () => {
  const upperOnly = { ...plateau, specification: { upper: 0.96, unit: "bar", origin: "trial" } };
  expect(watch(points([0.1, 0.97]), upperOnly).fired).toEqual([
    [runOf(1), "outside-specification", "specification", "above"],
  ]);
  const none = { ...plateau, specification: null };
  expect(watch(points([0.1, 0.97]), none).fired).toEqual([]);
});

test.each([
  ["another characteristic", { characteristic: "PR-02:mold.plateau" }],
  ["another unit", { unit: "kPa" }],
  ["other charts", { charts: ["mean", "range"] as const }],
  ["a rule without a row", { rules: ["ten-in-a-row"] }],
  ["lines without width", { location: { centre: 1, lower: 1, upper: 1, sigma: 0 } }],
  ["lines that are no numbers", { spread: { centre: 1, lower: 0, upper: Number.NaN, sigma: 1 } }],
])("a limit set made for %s is a defect, named before it rules", (_, change) => {
  const set = limitsOf(plateau, 1, change);
  expect(() => watch([{ kind: "limits", set }])).toThrow(RangeError);
});
