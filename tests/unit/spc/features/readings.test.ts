import { expect, test } from "vitest";
import { coverageOf, coveredReadings, goodReadings, spacingOf } from "../../../../spc/features/readings.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { codeOf, readingsOf, runOf, startMs, traceOf } from "./traces.ts";

const every = 100;
const tenSeconds = { name: "steam", fromMs: startMs, toMs: startMs + 10_000 };
const ramp = readingsOf("pressure", 0, 10, every, (tS) => tS);
const withSamples = (samples: readonly Sample[]) => traceOf(runOf(10), { pressure: [every, samples] });
const cover = (samples: readonly Sample[]) => coveredReadings(withSamples(samples), "pressure", tenSeconds);

test("readings that are all there cover their window", () => {
  const outcome = cover(ramp);
  expect(outcome.ok && outcome.value.length).toBe(100);
});

test("exactly a tenth may be missing, and no reading more", () => {
  expect(cover(ramp.filter((_, i) => i < 40 || i >= 50)).ok).toBe(true);
  expect(codeOf(cover(ramp.filter((_, i) => i < 40 || i >= 51)))).toBe("coverage-too-low");
  expect(cover(ramp.filter((_, i) => i % 10 !== 5)).ok).toBe(true);
  expect(codeOf(cover(ramp.filter((_, i) => i % 9 !== 5)))).toBe("coverage-too-low");
});

test("readings without a number, or not good, are missing", () => {
  const spoiled = (change: Partial<Sample>) => ramp.map((one, i) => (i % 5 === 0 ? { ...one, ...change } : one));
  for (const change of [{ value: null }, { quality: "bad" as const }, { quality: "uncertain" as const }]) {
    expect(cover(spoiled(change))).toMatchObject({
      ok: false,
      refusal: { code: "coverage-too-low", detail: "pressure has good readings for 80 % of steam", needs: 0.9 },
    });
  }
});

test("a hole at the beginning or the end counts as well as one amid", () => {
  expect(codeOf(cover(ramp.slice(15)))).toBe("coverage-too-low");
  expect(codeOf(cover(ramp.slice(0, -15)))).toBe("coverage-too-low");
});

test("a burst of readings does not make up for a hole, nor a repeat for a loss", () => {
  const burst = readingsOf("pressure", 0, 5, every / 4, (tS) => tS);
  expect(codeOf(cover([...burst, ...ramp.slice(70)]))).toBe("coverage-too-low");
  const kept = ramp.filter((_, i) => i % 5 !== 2);
  expect(codeOf(cover(kept.flatMap((one) => [one, one])))).toBe("coverage-too-low");
});

test("jitter of less than half a spacing is no hole", () => {
  const jittered = ramp.map((one, i) => ({ ...one, tMs: one.tMs + (i % 2 === 0 ? 0 : 45) }));
  expect(cover(jittered).ok).toBe(true);
});

test("of two readings at one time the first counts", () => {
  const [one] = ramp;
  expect(goodReadings(withSamples([one!, { ...one!, value: 99 }]), "pressure")).toEqual([{ tMs: startMs, value: 0 }]);
});

test("an instrument that does not change at all over a run has stopped measuring", () => {
  const stuck = ramp.map((one) => ({ ...one, value: 0.9 }));
  expect(codeOf(cover(stuck))).toBe("signal-stuck");
  expect(codeOf(cover(stuck.map((one, i) => (i === 3 ? { ...one, value: 0.901 } : one))))).toBe("signal-stuck");
  expect(codeOf(cover(ramp.map((one, i) => (i < 60 ? one : { ...one, value: 6 }))))).toBe("signal-stuck");
  const few = { name: "steam", fromMs: startMs, toMs: startMs + 900 };
  expect(coveredReadings(withSamples(stuck.slice(0, 9)), "pressure", few).ok).toBe(true);
});

test("a role that the trace does not hold, or whose spacing is unknown, is refused", () => {
  const trace = withSamples(ramp);
  expect(codeOf(spacingOf(trace, "stream"))).toBe("role-missing");
  expect(codeOf(spacingOf(trace, "toString"))).toBe("role-missing");
  expect(codeOf(coveredReadings({ ...trace, everyMs: {} }, "pressure", tenSeconds))).toBe("role-missing");
  expect(codeOf(coveredReadings({ ...trace, everyMs: { pressure: 0 } }, "pressure", tenSeconds))).toBe("role-missing");
});

test("nothing covers an empty window, and nothing is covered by no readings", () => {
  expect(coverageOf([{ tMs: startMs, value: 1 }], { ...tenSeconds, toMs: startMs }, every)).toBe(0);
  expect(coverageOf([], tenSeconds, every)).toBe(0);
  expect(codeOf(cover([]))).toBe("coverage-too-low");
});
