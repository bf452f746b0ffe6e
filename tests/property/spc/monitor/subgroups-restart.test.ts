import fc from "fast-check";
import { expect, test } from "vitest";
import { advance } from "../../../../spc/model/stage.ts";
import type { MonitorInput } from "../../../../spc/monitor/characteristic-monitor.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { subgrouper } from "../../../../spc/monitor/subgrouper.ts";
import { runOf, timeOf } from "../../../unit/spc/press-fixtures.ts";
import { averages, charted, ewmaOfRuns, ewmaOfSubgroups, limitsFrom } from "../../../unit/spc/subgroup-fixtures.ts";
import { normals } from "../seeded.ts";

const clone = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;
const next = normals(17);
const calm = Array.from({ length: 140 }, () => 0.92 + 0.004 * next());
const kinds = [averages, ewmaOfRuns, ewmaOfSubgroups].map((as) => {
  const characteristic = { ...charted(as), specification: { lower: 0.88, upper: 0.96, unit: "bar", origin: "trial" } };
  return { characteristic, set: limitsFrom(characteristic, calm) };
});

const step = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.record({
      value: fc.oneof(
        { weight: 8, arbitrary: fc.double({ min: 0.9, max: 0.94, noNaN: true }) },
        { weight: 1, arbitrary: fc.constantFrom(null, 0.5, 0.96, 1.4) },
      ),
      pause: fc.constantFrom(1, 1, 1, 1, 1, 2, 5, 13),
      setting: fc.constantFrom("A", "A", "A", "A", "A", "B"),
    }),
  },
  { weight: 1, arbitrary: fc.constant("done" as const) },
  { weight: 1, arbitrary: fc.constant("limits" as const) },
);

/** A done names the flag that is open then, so inputs are made while the stream runs. */
function inputsOf(
  steps: readonly (typeof step extends fc.Arbitrary<infer T> ? T : never)[],
  kind: (typeof kinds)[number],
) {
  const monitor = characteristicMonitor(kind.characteristic);
  const inputs: MonitorInput[] = [];
  let state = monitor.initial;
  let place = 0;
  let revision = 0;
  for (const one of steps) {
    let input: MonitorInput;
    if (one === "done") input = { kind: "done", flag: state.flag ?? "none" };
    else if (one === "limits") {
      revision += 1;
      const id = `${kind.characteristic.id}@${revision}`;
      input = { kind: "limits", set: { ...kind.set, id, revision, effectiveFromMs: timeOf(place + (revision % 3)) } };
    } else {
      place += one.pause;
      const { value, setting } = one;
      input = { kind: "point", run: runOf(place), atMs: timeOf(place), value, setting };
    }
    inputs.push(input);
    state = monitor.step(state, input).state;
  }
  return inputs;
}

const plans = fc.array(step, { maxLength: 80 });

test("cut anywhere and taken up again from a checkpoint in JSON, points, signals and what waits are the same", () => {
  fc.assert(
    fc.property(plans, fc.constantFrom(...kinds), fc.nat(80), (steps, kind, cut) => {
      const inputs = inputsOf(steps, kind);
      const whole = advance(characteristicMonitor(kind.characteristic), inputs);
      const first = advance(characteristicMonitor(kind.characteristic), inputs.slice(0, cut));
      const second = advance(characteristicMonitor(kind.characteristic), inputs.slice(cut), clone(first.state));
      expect([...first.out, ...second.out]).toEqual(whole.out);
      expect(clone(second.state)).toEqual(clone(whole.state));
    }),
  );
});

test("every run is in one point or waits, none twice, in order; no subgroup holds more than it should or two settings", () => {
  fc.assert(
    fc.property(plans, fc.constantFrom(...kinds), (steps, kind) => {
      const inputs = inputsOf(steps, kind);
      const { out, state } = advance(characteristicMonitor(kind.characteristic), inputs);
      const runs = kind.characteristic.subgroup?.runs ?? 1;
      const members = out.flatMap((one) => (one.kind === "point" ? one.point.members! : []));
      const given = inputs.flatMap((input) => (input.kind === "point" ? [input.run] : []));
      const waiting = (state.gathering ?? []).map(({ run }) => run);
      expect([...members.map(({ run }) => run), ...waiting]).toEqual(given);
      expect(waiting.length).toBeLessThan(runs);
      const setting = new Map(inputs.flatMap((one) => (one.kind === "point" ? [[one.run, one.setting] as const] : [])));
      for (const one of out) {
        if (one.kind !== "point") continue;
        const own = one.point.members!;
        expect(own.length === runs).toBe(one.point.shortBy === undefined);
        expect(new Set(own.map(({ run }) => setting.get(run))).size).toBe(1);
      }
    }),
  );
});

test("signal ids are never given twice, each is named at one point, and all of a time go to the flag that is open", () => {
  fc.assert(
    fc.property(plans, fc.constantFrom(...kinds), (steps, kind) => {
      const { out, state } = advance(characteristicMonitor(kind.characteristic), inputsOf(steps, kind));
      const ids = out.flatMap((one) => (one.kind === "signal" ? [one.signal.id] : []));
      expect(new Set(ids).size).toBe(ids.length);
      const named = out.flatMap((one) => (one.kind === "point" ? one.point.signals : []));
      expect(new Set([...named, ...(state.heard ?? [])])).toEqual(new Set(ids));
      expect(named.length + (state.heard ?? []).length).toBe(ids.length);
    }),
  );
});

test("a subgrouper alone is the same wherever its stream is cut", () => {
  const run = fc.record({ pause: fc.constantFrom(1, 1, 2, 3, 4), setting: fc.constantFrom("", "", "B") });
  fc.assert(
    fc.property(fc.array(run, { maxLength: 50 }), fc.integer({ min: 1, max: 6 }), fc.nat(50), (steps, size, cut) => {
      let minute = 0;
      const inputs = steps.map(({ pause, setting }) => {
        minute += pause;
        return { run: `r${minute}`, atMs: minute * 60_000, value: 1, setting };
      });
      const stage = subgrouper(size, 60_000);
      const whole = advance(stage, inputs);
      const first = advance(stage, inputs.slice(0, cut));
      const second = advance(stage, inputs.slice(cut), clone(first.state));
      expect([...first.out, ...second.out]).toEqual(whole.out);
    }),
  );
});
