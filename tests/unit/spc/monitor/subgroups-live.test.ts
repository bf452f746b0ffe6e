import { expect, test } from "vitest";
import type { PointRecord } from "../../../../spc/model/journal-entry.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { MonitorInput, MonitorOutput } from "../../../../spc/monitor/characteristic-monitor.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { limitsOf, plateau, points, runOf, timeOf } from "../press-fixtures.ts";
import { averages, charted, ewmaOfRuns, limitsFrom } from "../subgroup-fixtures.ts";

const next = normals(11);
const calm = Array.from({ length: 160 }, () => 0.92 + 0.004 * next());
const characteristic = charted(averages);
const set = limitsFrom(characteristic, calm);
const monitor = characteristicMonitor(characteristic);
const pointsOf = (out: readonly MonitorOutput[]): PointRecord[] =>
  out.flatMap((one) => (one.kind === "point" ? [one.point] : []));
const signalsOf = (out: readonly MonitorOutput[]) => out.flatMap((one) => (one.kind === "signal" ? [one.signal] : []));
const limits: MonitorInput = { kind: "limits", set };

test("a subgroup is one point, called after its last run; until it is full it waits", () => {
  const { out, state } = advance(monitor, [limits, ...points([0.92, 0.921, 0.919, 0.92, 0.93, 0.92])]);
  const [point, ...more] = pointsOf(out);
  expect(more).toEqual([]);
  expect(point).toMatchObject({ run: runOf(3), subgroup: 0, atMs: timeOf(3) });
  expect(point!.location.value).toBeCloseTo(0.92, 12);
  expect(point!.members!.map(({ run }) => run)).toEqual([0, 1, 2, 3].map(runOf));
  expect(state.gathering!.map(({ run }) => run)).toEqual([runOf(4), runOf(5)]);
});

test("a missing value takes its place, and what is left is judged by lines of its own size", () => {
  const [full, three] = pointsOf(
    advance(monitor, [limits, ...points([0.92, 0.92, 0.92, 0.921, 0.92, null, 0.92, 0.921])]).out,
  );
  expect(three!.location.verdict).toBe("within");
  expect(three!.location.upper! - set.location.centre).toBeCloseTo((3 * set.scheme!.sigma) / Math.sqrt(3), 12);
  expect(full!.location.upper! - set.location.centre).toBeCloseTo((3 * set.scheme!.sigma) / Math.sqrt(4), 12);
  expect(three!.members!.map(({ value }) => value)).toEqual([0.92, null, 0.92, 0.921]);
});

test("a subgroup cut short by a gap is stated: judged when two runs gave a value, else not evaluable", () => {
  const gap = [...points([0.92, 0.921]), ...points([0.92], 7), ...points([0.92, 0.92], 20)];
  const [two, one] = pointsOf(advance(monitor, [limits, ...gap]).out);
  expect(two).toMatchObject({ shortBy: "gap", location: { verdict: "within" } });
  expect(one).toMatchObject({
    shortBy: "gap",
    location: { value: null, verdict: "not-evaluable" },
    refusal: { code: "too-few", needs: 2, has: 1 },
  });
});

test("a change of part or tool ends a subgroup, and says so", () => {
  const changed = points([0.92, 0.921, 0.92, 0.92]).map((input, i) =>
    input.kind === "point" ? { ...input, setting: i < 2 ? "OFW-2107" : "OFW-2115" } : input,
  );
  const { out, state } = advance(monitor, [limits, ...changed]);
  expect(pointsOf(out)).toMatchObject([{ shortBy: "change" }]);
  expect(state.gathering).toHaveLength(2);
});

test("a run outside its specification is told at once; its subgroup's point names that signal, and a flag gathers both", () => {
  const specified = { ...characteristic, specification: plateau.specification };
  const stage = characteristicMonitor(specified);
  const first = advance(stage, [limits, ...points([0.92, 0.5])]);
  expect(first.out).toMatchObject([
    { kind: "signal", signal: { on: "specification", run: runOf(1), rule: "outside-specification" } },
  ]);
  const second = advance(stage, points([0.92, 0.92], 2), first.state);
  const [point] = pointsOf(second.out);
  const early = signalsOf(first.out)[0]!;
  expect(point!.signals[0]).toBe(early.id);
  expect(point!.signals.length).toBeGreaterThan(1);
  expect(new Set([...signalsOf(first.out), ...signalsOf(second.out)].map(({ flag }) => flag))).toEqual(
    new Set([early.flag]),
  );
});

test("a done ends the subgroup that waits, under the flag that it closes, and no later one reaches across it", () => {
  const specified = { ...characteristic, specification: plateau.specification };
  const stage = characteristicMonitor(specified);
  const open = advance(stage, [limits, ...points([0.92, 0.5])]);
  const flag = open.state.flag!;
  const closed = stage.step(open.state, { kind: "done", flag });
  expect(closed.out[0]).toMatchObject({ kind: "point", point: { shortBy: "done" } });
  for (const { flag: named } of signalsOf(closed.out)) expect(named).toBe(flag);
  expect(closed.state.flag).toBeNull();
  expect(closed.state.gathering).toBeUndefined();
  expect(closed.state.heard).toBeUndefined();
});

test("an EWMA begins anew at its centre after a done, holds over a missing run, and is drawn before there are limits", () => {
  const single = charted(ewmaOfRuns);
  const stage = characteristicMonitor(single);
  const own = limitsFrom(single, calm);
  const drifted = advance(stage, [{ kind: "limits", set: own }, ...points(Array.from({ length: 12 }, () => 0.926))]);
  const flag = drifted.state.flag!;
  expect(flag).not.toBeNull();
  const after = advance(stage, [{ kind: "done", flag }, ...points([0.92, null, 0.92], 12)], drifted.state);
  const [first, held, last] = pointsOf(after.out);
  const centre = own.location.centre;
  expect(first!.location.value).toBeCloseTo(centre + 0.2 * (0.92 - centre), 12);
  expect(held!.location).toMatchObject({ value: null, verdict: "not-evaluable" });
  expect(last!.location.value! - centre).toBeCloseTo(0.36 * (0.92 - centre), 12);
  const [start, second] = pointsOf(advance(stage, points([0.92, 0.93])).out);
  expect(start!.location).toMatchObject({ value: 0.92, centre: null, verdict: "not-evaluable" });
  expect(second!.location.value).toBeCloseTo(0.922, 12);
  expect(second!.refusal).toMatchObject({ code: "no-limits" });
});

test("a flag within twenty runs of a done came back from the one that was closed; a later one is new", () => {
  const stage = characteristicMonitor({ ...plateau, specification: null, rules: ["beyond-limit"] });
  const ruled: MonitorInput = { kind: "limits", set: { ...limitsOf(plateau), rules: ["beyond-limit"] } };
  const first = advance(stage, [ruled, ...points([0.94])]);
  const flag = first.state.flag!;
  // A run without a value first, so that no moving range bridges the step back.
  const quiet = (runs: number) => Array.from({ length: runs }, (_, i) => (i === 0 ? null : 0.92));
  const after = (calmRuns: number) =>
    signalsOf(advance(stage, [{ kind: "done", flag }, ...points([...quiet(calmRuns), 0.94], 1)], first.state).out).find(
      ({ on }) => on === "location",
    )!;
  expect(signalsOf(first.out)[0]).not.toHaveProperty("cameBackFrom");
  expect(after(0).cameBackFrom).toBe(flag);
  expect(after(0).flag).not.toBe(flag);
  expect(after(19).cameBackFrom).toBe(flag);
  expect(after(20)).not.toHaveProperty("cameBackFrom");
});

test("a checkpoint of other charts is taken up with its count and its flag, and its limits rule no more", () => {
  const singles = advance(characteristicMonitor(plateau), [
    { kind: "limits", set: limitsOf() },
    ...points([0.92, 0.99]),
  ]);
  const { design: _, ...old } = singles.state;
  const { out, state } = advance(monitor, points([0.92, 0.92, 0.92, 0.92], 2), old);
  expect(state).toMatchObject({ seen: 3, limits: null, flag: singles.state.flag });
  expect(pointsOf(out)).toMatchObject([{ limitSet: null, refusal: { code: "no-limits" } }]);
  const same = advance(characteristicMonitor(plateau), points([0.92], 2), old);
  expect(same.state.limits).toEqual(singles.state.limits);
});

test("limits of subgroups of another size, or without what their lines follow from, are refused", () => {
  const misfits = [
    { ...set, scheme: { ...set.scheme!, runs: 5 } },
    { ...limitsOf(), charts: set.charts },
  ];
  for (const wrong of misfits) {
    expect(() => monitor.step(monitor.initial, { kind: "limits", set: wrong })).toThrow(RangeError);
  }
});
