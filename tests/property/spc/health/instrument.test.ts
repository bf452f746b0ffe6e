import fc from "fast-check";
import { expect, test } from "vitest";
import { instrumentWatch } from "../../../../spc/health/instrument.ts";
import type { InstrumentPlan } from "../../../../spc/health/instrument-plan.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { advance } from "../../../../spc/model/stage.ts";

const plan: InstrumentPlan = {
  wiring: "loop",
  unit: "bar",
  everyMs: 1_000,
  stuck: { noise: 0.006, step: 0.001, everyMs: 1_000, unit: "bar" },
  clipped: { lower: -1, upper: 2.5, loop: true, step: 0.001, unit: "bar" },
  repeated: null,
  spikes: null,
  zero: null,
  peers: null,
  slow: null,
  least: null,
  ambientCel: null,
};
const { readings } = instrumentWatch("pressure", plan);
const stretch = fc.record({
  value: fc.constantFrom(0.9, 0.431, null, 2.7, Number.MAX_VALUE),
  quality: fc.constantFrom("good" as const, "good" as const, "uncertain" as const, "bad" as const),
  count: fc.integer({ min: 1, max: 40 }),
  lively: fc.boolean(),
});
const stream = fc.array(stretch, { maxLength: 20 }).map((stretches) =>
  stretches
    .flatMap(({ value, quality, count, lively }) =>
      Array.from({ length: count }, (_, i) => ({
        value: value === null ? null : lively ? value + 0.001 * (i % 4) : value,
        quality,
      })),
    )
    .map((one, i): Sample => ({ series: "PR-01/pressure", tMs: i * 1_000, ...one })),
);

test("whatever an instrument sends, the same faults are found wherever the stream is cut and the state saved", () => {
  fc.assert(
    fc.property(stream, fc.nat(), (samples, cut) => {
      const whole = advance(readings, samples);
      const at = samples.length === 0 ? 0 : cut % samples.length;
      const first = advance(readings, samples.slice(0, at));
      const second = advance(readings, samples.slice(at), JSON.parse(JSON.stringify(first.state)));
      expect([...first.out, ...second.out]).toEqual(whole.out);
      expect(JSON.parse(JSON.stringify(second.state))).toEqual(JSON.parse(JSON.stringify(whole.state)));
    }),
  );
});

test("of each check beginnings and ends take turns, an end names its beginning, and what is on is what has not ended", () => {
  fc.assert(
    fc.property(stream, (samples) => {
      const { state, out } = advance(readings, samples);
      const on = new Map<string, number>();
      for (const { kind, check, sinceMs, atMs } of out) {
        expect(sinceMs).toBeLessThanOrEqual(atMs);
        if (kind === "began") {
          expect(on.has(check)).toBe(false);
          on.set(check, sinceMs);
        } else {
          expect(on.get(check)).toBe(sinceMs);
          on.delete(check);
        }
      }
      expect(Object.keys(state.on).sort()).toEqual([...on.keys()].sort());
    }),
  );
});
