import { expect, test } from "vitest";
import { instrumentRefusal, instrumentWatch } from "../../../../spc/health/instrument.ts";
import type { InstrumentPlan } from "../../../../spc/health/instrument-plan.ts";
import type { Run, RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { advance } from "../../../../spc/model/stage.ts";

const plan: InstrumentPlan = {
  wiring: "loop",
  unit: "bar",
  everyMs: 1_000,
  stuck: { noise: 0.006, step: 0.001, everyMs: 1_000, unit: "bar" },
  clipped: { lower: -1, upper: 2.5, loop: false, step: 0.001, unit: "bar" },
  repeated: null,
  spikes: null,
  zero: {
    segment: "eject",
    lastMs: 20_000,
    is: 0,
    within: 0.016,
    where: "at the end of eject",
    against: null,
    measure: null,
    noise: 0.006,
    unit: "bar",
  },
  peers: null,
  slow: null,
  least: null,
  ambientCel: null,
};
const watch = instrumentWatch("pressure", plan);

function samples(values: readonly (number | null)[], fromMs = 0): readonly Sample[] {
  return values.map((value, i) => ({
    series: "PR-01/pressure",
    tMs: fromMs + i * 1_000,
    value,
    quality: value === null ? "bad" : "good",
  }));
}
/** Lively, about a level. */
function lively(level: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => level + 0.002 * ((i * 7) % 5));
}
function runOf(startMs: number, endMs: number): Run {
  const segments = [{ name: "eject", fromMs: startMs, toMs: endMs }];
  return { id: "PR-01:x", station: "PR-01", startMs, endMs, closedBy: "end-condition", segments, context: {} };
}
function traceOf(run: Run, own: readonly Sample[]): RunTrace {
  return { run, samples: { pressure: own }, everyMs: { pressure: 1_000 }, ambientPressureHpa: 1_000 };
}

test("while it is stuck no run has a number from it, and afterwards they have again", () => {
  const stuck = advance(watch.readings, samples([...lively(0.9, 20), ...new Array<number>(40).fill(0.431)]));
  expect(stuck.out).toMatchObject([{ kind: "began", check: "stuck", verdict: "fault", sinceMs: 20_000 }]);
  const refusal = instrumentRefusal(stuck.state, "pressure", runOf(30_000, 60_000), false);
  expect(refusal).toMatchObject({
    code: "instrument-fault",
    detail: expect.stringMatching(/^pressure read 0\.431 bar/),
  });
  expect(instrumentRefusal(stuck.state, "pressure", runOf(0, 20_000), false)).toBeUndefined();

  const over = advance(watch.readings, samples(lively(0.9, 20), 60_000), stuck.state);
  expect(over.out).toMatchObject([{ kind: "ended", check: "stuck", sinceMs: 20_000, atMs: 60_000 }]);
  expect(instrumentRefusal(over.state, "pressure", runOf(55_000, 80_000), false)?.code).toBe("instrument-fault");
  expect(instrumentRefusal(over.state, "pressure", runOf(61_000, 80_000), false)).toBeUndefined();
});

test("readings that are merely missing leave it to the feature, and are its reason where it refuses", () => {
  const { state, out } = advance(watch.readings, samples([...lively(0.9, 20), ...new Array<null>(10).fill(null)]));
  expect(out).toMatchObject([{ kind: "began", check: "loop-fault" }]);
  const run = runOf(0, 60_000);
  expect(instrumentRefusal(state, "pressure", run, false)).toBeUndefined();
  expect(instrumentRefusal(state, "pressure", run, true)?.detail).toMatch(/^pressure gave no value 6 times in a row/);
});

test("a bound is no value although nobody knows whose fault it is", () => {
  const { state, out } = advance(watch.readings, samples([1, 2.5, 2.5, 2.5, 2.5]));
  expect(out).toMatchObject([{ kind: "began", check: "clipped", verdict: "undecided" }]);
  expect(instrumentRefusal(state, "pressure", runOf(0, 9_000), false)?.code).toBe("instrument-fault");
});

test("a zero that is off holds from its run on until a run finds it right", () => {
  const first = runOf(0, 20_000);
  const off = watch.run(watch.readings.initial, traceOf(first, samples(lively(0.05, 20))));
  expect(off.out).toMatchObject([{ kind: "began", check: "zero", sinceMs: 0, atMs: 20_000 }]);
  expect(instrumentRefusal(off.state, "pressure", first, false)?.code).toBe("instrument-fault");
  const again = watch.run(off.state, traceOf(runOf(30_000, 50_000), samples(lively(0.05, 20), 30_000)));
  expect(again.out).toEqual([]);
  const second = runOf(60_000, 80_000);
  const well = watch.run(again.state, traceOf(second, samples(lively(0, 20), 60_000)));
  expect(well.out).toMatchObject([{ kind: "ended", check: "zero", sinceMs: 0 }]);
  expect(instrumentRefusal(well.state, "pressure", second, false)).toBeUndefined();
});

test("what each check said last is kept with its time", () => {
  const { state } = watch.run(watch.readings.initial, traceOf(runOf(0, 20_000), samples(lively(0, 20))));
  expect(state.looks.zero).toMatchObject({ atMs: 20_000, verdict: "well" });
  expect(state.looks.dropout).toMatchObject({ atMs: 20_000, verdict: "well" });
});
