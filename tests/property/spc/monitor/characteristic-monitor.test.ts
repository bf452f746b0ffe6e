import fc from "fast-check";
import { expect, test } from "vitest";
import type { Signal } from "../../../../spc/model/signal.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { MonitorInput, MonitorOutput } from "../../../../spc/monitor/characteristic-monitor.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { flagsByChance } from "../../../../spc/price/pair-price.ts";
import { limitsOf, plateau, points, runOf, timeOf } from "../../../unit/spc/press-fixtures.ts";
import { normals, uniforms } from "../seeded.ts";

const monitor = characteristicMonitor(plateau);
const clone = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;
const signalsOf = (out: readonly MonitorOutput[]): Signal[] =>
  out.flatMap((one) => (one.kind === "signal" ? [one.signal] : []));

/** Values around the centre, far out, exactly on lines, missing; silences; limits and decisions in between. */
const value = fc.oneof(
  { weight: 8, arbitrary: fc.double({ min: 0.9, max: 0.94, noNaN: true }) },
  { weight: 2, arbitrary: fc.constantFrom(0.908, 0.932, 0.92, 0.88, 0.96, 0.5, 1.5) },
  { weight: 1, arbitrary: fc.constant(null) },
);
const plan = fc.array(
  fc.oneof(
    { weight: 12, arbitrary: fc.record({ value, pause: fc.constantFrom(1, 1, 1, 1, 2, 5) }) },
    { weight: 1, arbitrary: fc.constant("done" as const) },
    { weight: 1, arbitrary: fc.constant("limits" as const) },
  ),
  { maxLength: 60 },
);
type Plan = (typeof plan extends fc.Arbitrary<infer T> ? T : never)[number];

/** A done names the flag that is open then, so inputs are made while the stream runs. */
function inputsOf(steps: readonly Plan[]): MonitorInput[] {
  const inputs: MonitorInput[] = [];
  let state = monitor.initial;
  let place = 0;
  let revision = 0;
  for (const step of steps) {
    let input: MonitorInput;
    if (step === "done") input = { kind: "done", flag: state.flag ?? "none" };
    else if (step === "limits") {
      revision += 1;
      input = { kind: "limits", set: limitsOf(plateau, revision, { effectiveFromMs: timeOf(place + (revision % 3)) }) };
    } else {
      place += step.pause;
      input = { kind: "point", run: runOf(place), atMs: timeOf(place), value: step.value };
    }
    inputs.push(input);
    state = monitor.step(state, input).state;
  }
  return inputs;
}

test("cut anywhere and taken up again from a checkpoint in JSON, points and signals are the same", () => {
  fc.assert(
    fc.property(plan, fc.nat(60), (steps, cut) => {
      const inputs = inputsOf(steps);
      const whole = advance(monitor, inputs);
      const first = advance(monitor, inputs.slice(0, cut));
      const second = advance(characteristicMonitor(plateau), inputs.slice(cut), clone(first.state));
      expect([...first.out, ...second.out]).toEqual(whole.out);
      expect(clone(second.state)).toEqual(clone(whole.state));
    }),
  );
});

test("everything that comes out survives JSON: no NaN, no infinity, whatever numbers go in", () => {
  const wild = fc.oneof(fc.double(), fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, -0, 1e308, -1e308, 5e-324));
  fc.assert(
    fc.property(fc.array(wild, { maxLength: 30 }), fc.boolean(), (values, limited) => {
      const inputs = points(values);
      const { out, state } = advance(monitor, limited ? [{ kind: "limits", set: limitsOf() }, ...inputs] : inputs);
      for (const one of [...out, state]) expect(JSON.stringify(one)).toBe(JSON.stringify(finiteOnly(one)));
      for (const one of out) {
        if (one.kind !== "point") continue;
        const { value: shown, verdict } = one.point.location;
        if (shown === null) expect(verdict).toBe("not-evaluable");
      }
    }),
  );
});

/** The same, where a number that JSON would write as null throws instead. */
function finiteOnly<T>(value: T): T {
  return JSON.parse(
    JSON.stringify(value, (_, inner: unknown) => {
      if (typeof inner === "number" && !Number.isFinite(inner)) throw new Error(`${inner} came out`);
      return inner;
    }),
  ) as T;
}

test("one more point on the centre, at the end, removes no signal that was there", () => {
  fc.assert(
    fc.property(plan, (steps) => {
      const inputs = inputsOf(steps);
      const before = signalsOf(advance(monitor, inputs).out);
      const longer = [...inputs, ...points([0.92], 400)];
      const after = signalsOf(advance(monitor, longer).out);
      expect(after.slice(0, before.length)).toEqual(before);
    }),
  );
});

test("signal ids are never given twice, and every signal is named at its point and in the flag that is open", () => {
  fc.assert(
    fc.property(plan, (steps) => {
      const { out } = advance(monitor, inputsOf(steps));
      const signals = signalsOf(out);
      expect(new Set(signals.map(({ id }) => id)).size).toBe(signals.length);
      const named = out.flatMap((one) => (one.kind === "point" ? one.point.signals : []));
      expect(named).toEqual(signals.map(({ id }) => id));
      for (const { members, run } of signals) expect(members.at(-1)).toBe(run);
    }),
  );
});

test("10,000 further points leave the limit set byte for byte as it was, and the checkpoint small", () => {
  const set = limitsOf();
  const bytes = JSON.stringify(set);
  const next = normals(7);
  const values = Array.from({ length: 10_000 }, () => 0.92 + 0.006 * next());
  const { state, out } = advance(monitor, [{ kind: "limits", set }, ...points(values)]);
  expect(JSON.stringify(state.limits)).toBe(bytes);
  expect(JSON.stringify(set)).toBe(bytes);
  expect(state.seen).toBe(10_000);
  expect(signalsOf(out).length).toBeGreaterThan(100);
  for (const one of out) {
    if (one.kind !== "point") continue;
    const { centre, lower, upper } = one.point.location;
    expect([centre, lower, upper]).toEqual([set.location.centre, set.location.lower, set.location.upper]);
  }
  expect(JSON.stringify(state).length).toBeLessThan(bytes.length + 2000);
});

test("in another unit, a + b x, the same runs give the same signals on the same sides, mirrored when b is negative", () => {
  fc.assert(
    fc.property(
      fc.integer(),
      fc.constantFrom(-1000, -2, 0.25, 8, 1024),
      fc.integer({ min: -50, max: 50 }),
      (seed, b, a) => {
        const next = uniforms(seed);
        // Whole numbers in steps of 1/8 sigma: scaled and moved without rounding, so that ties stay ties.
        const values = Array.from({ length: 60 }, () => Math.round(16 * (next() + next() - 1) * 2) / 8);
        const found = firedOn(values, { centre: 0, sigma: 1 });
        const moved = firedOn(
          values.map((x) => a + b * x),
          { centre: a, sigma: Math.abs(b) },
        );
        const mirrored = found.map(([run, rule, side]) => [run, rule, side === "above" ? "below" : "above"]);
        expect(moved).toEqual(b > 0 ? found : mirrored);
      },
    ),
  );
});

function firedOn(values: readonly number[], { centre, sigma }: { centre: number; sigma: number }) {
  const location = { centre, lower: centre - 3 * sigma, upper: centre + 3 * sigma, sigma };
  const set = limitsOf(plateau, 1, { location, spread: { centre: 0, lower: 0, upper: 1e9, sigma: 1 } });
  const stage = characteristicMonitor({ ...plateau, specification: null });
  const { out } = advance(stage, [{ kind: "limits", set }, ...points(values)]);
  return signalsOf(out).map(({ run, rule, side }) => [run, rule, side]);
}

test("a stable process flags as often as chance is reckoned to: our own simulation, limits known, each flag closed five points later", () => {
  const centre = 0.92;
  const sigma = 0.004;
  const d2 = 2 / Math.sqrt(Math.PI);
  const d3 = Math.sqrt(2 - 4 / Math.PI);
  const spread = { centre: d2 * sigma, lower: 0, upper: (d2 + 3 * d3) * sigma, sigma: d3 * sigma };
  const location = { centre, lower: centre - 3 * sigma, upper: centre + 3 * sigma, sigma };
  const set = limitsOf(plateau, 1, { spread, location });
  const stage = characteristicMonitor({ ...plateau, specification: null });
  const next = normals(99);
  let { state } = stage.step(stage.initial, { kind: "limits", set });
  let flags = 0;
  let watched = 0;
  let open = 0;
  for (let i = 0; i < 150_000; i += 1) {
    const point = { kind: "point", run: runOf(i), atMs: timeOf(i), value: centre + sigma * next() } as const;
    const before = state.flag;
    state = stage.step(state, point).state;
    if (before === null) watched += 1;
    if (state.flag === null) continue;
    if (before === null) flags += 1;
    open = before === null ? 0 : open + 1;
    if (open === 5) state = stage.step(state, { kind: "done", flag: state.flag }).state;
  }
  const expected = flagsByChance(watched, set);
  expect(flags).toBeGreaterThan(1000);
  expect(Math.abs(flags - expected)).toBeLessThan(4 * Math.sqrt(expected));
});
