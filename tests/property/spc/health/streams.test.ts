import fc from "fast-check";
import { expect, test } from "vitest";
import type { Reading } from "../../../../spc/features/readings.ts";
import { clippedWatch } from "../../../../spc/health/clipped.ts";
import { noValueWatch } from "../../../../spc/health/no-value.ts";
import { repeatedWatch } from "../../../../spc/health/repeated.ts";
import { stuckAfter, stuckWatch } from "../../../../spc/health/stuck.ts";
import { advance, type Stage } from "../../../../spc/model/stage.ts";
import { normals, uniforms } from "../seeded.ts";

const plan = { noise: 0.05, step: 0.1, everyMs: 1_000, unit: "Cel" };
const stages = {
  stuck: stuckWatch(plan),
  clipped: clippedWatch({ lower: 0, upper: 1, loop: false, step: 0.1, unit: "Cel" }),
  repeated: repeatedWatch({ spread: 0.05, step: 0.1, unit: "Cel" }),
} as const;
/** Few levels, so that rows and ends are common. */
const series = fc.array(
  fc.record({ value: fc.constantFrom(0, 0.1, 0.5, 0.5, 1), count: fc.integer({ min: 1, max: 150 }) }),
  { maxLength: 30 },
);
type Rows = typeof series extends fc.Arbitrary<infer T> ? T : never;

function readingsOf(rows: Rows): readonly Reading[] {
  return rows
    .flatMap(({ value, count }) => new Array<number>(count).fill(value))
    .map((value, i) => ({ tMs: i * 1_000, value }));
}

test.each(Object.keys(stages) as (keyof typeof stages)[])(
  "%s says the same wherever the stream is cut and its state saved",
  (name) => {
    const stage = stages[name] as Stage<unknown, Reading, unknown>;
    fc.assert(
      fc.property(series, fc.nat(), (rows, cut) => {
        const readings = readingsOf(rows);
        const whole = advance(stage, readings);
        const at = readings.length === 0 ? 0 : cut % readings.length;
        const first = advance(stage, readings.slice(0, at));
        const second = advance(stage, readings.slice(at), JSON.parse(JSON.stringify(first.state)));
        expect([...first.out, ...second.out]).toEqual(whole.out);
        expect(second.state).toEqual(whole.state);
      }),
    );
  },
);

test("a fault begins before it ends, and never twice in a row", () => {
  fc.assert(
    fc.property(series, (rows) => {
      for (const stage of [stages.stuck, stages.clipped] as const) {
        const said = advance(stage as Stage<unknown, Reading, { finding: { verdict: string } }>, readingsOf(rows)).out;
        expect(said.map(({ finding }) => finding.verdict === "well")).toEqual(said.map((_, i) => i % 2 === 1));
      }
    }),
  );
});

test("good readings are never called missing, and missing ones always once there are enough", () => {
  const sample = fc.record({
    tMs: fc.constant(0),
    value: fc.constantFrom(1, null),
    quality: fc.constantFrom("good" as const, "bad" as const),
  });
  fc.assert(
    fc.property(fc.array(sample, { maxLength: 60 }), (samples) => {
      const timed = samples.map((one, i) => ({ ...one, tMs: i * 2_500 }));
      const { out } = advance(noValueWatch("loop"), timed);
      let row = 0;
      let faults = 0;
      for (const { value, quality } of timed) {
        row = value !== null && quality !== "bad" ? 0 : row + 1;
        if (row === 3) faults += 1;
      }
      expect(out.filter(({ finding }) => finding.verdict === "fault")).toHaveLength(faults);
    }),
  );
});

test("how long a row of equal readings takes by chance is what the books say of dice: (m^r - 1) / (m - 1)", () => {
  // Ten faces, ten equal in a row, would take a billion throws; so the stage is asked with two: (2^10 - 1) / 1 = 1023.
  const dice = stuckWatch({ noise: 1, step: 0, everyMs: 1_000, unit: "1" });
  const next = uniforms(17);
  let tMs = 0;
  let throws = 0;
  let rows = 0;
  for (; rows < 400; rows += 1) {
    let state = dice.initial;
    for (let found = false; !found; ) {
      throws += 1;
      tMs += 1_000;
      const step = dice.step(state, { tMs, value: next() < 0.5 ? 0 : 1 });
      state = step.state;
      found = step.out.some(({ finding }) => finding.verdict === "fault");
    }
  }
  // The wait has about its own mean as sigma: 400 of them know the mean to 5 %.
  expect(throws / rows / 1_023).toBeGreaterThan(0.85);
  expect(throws / rows / 1_023).toBeLessThan(1.15);
});

test("noise of the stated size, rounded to the stated step, is never called stuck in two million readings", () => {
  const press = { noise: 0.006, step: 0.001, everyMs: 50, unit: "bar" };
  for (const [one, level] of [
    [plan, 55],
    [press, 0],
  ] as const) {
    const stage = stuckWatch(one);
    const next = normals(3);
    let state = stage.initial;
    let longest = 0;
    let told = 0;
    for (let i = 0; i < 1_000_000; i += 1) {
      const value = Math.round((level + one.noise * next()) / one.step) * one.step;
      const step = stage.step(state, { tMs: i * one.everyMs, value });
      told += step.out.length;
      state = step.state;
      longest = Math.max(longest, state.equal);
    }
    expect(told).toBe(0);
    expect(longest).toBeLessThan(stuckAfter(one));
  }
});
