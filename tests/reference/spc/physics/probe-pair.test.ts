import { expect, test } from "vitest";
import { mixingRatio, mixingRatioOfVapour } from "../../../../spc/physics/mixing-ratio.ts";
import { saturationOverWater } from "../../../../spc/physics/moist-air.ts";
import { differenceError, endpointResolution, type ProbePair } from "../../../../spc/physics/probe-pair.ts";
import { answerOf, codeOf } from "./outcome.ts";

const hot = { tCel: 50, rhPercent: 7, pressureHpa: 1013.25 };
const two: ProbePair = { kind: "independent", rhPercent: 2, temperatureK: 0 };

test("at 50 Cel one percent of relative humidity is 0.77 g/kg", () => {
  const onePercent = answerOf(differenceError({ kind: "matched", rhPercent: 1, temperatureK: 0 }, hot));
  expect(Math.abs(onePercent - 0.77)).toBeLessThanOrEqual(0.00501);
});

test("two independent probes of 2 % cannot resolve an endpoint of 0.2 g/kg, nor of 0.4, at 50 Cel", () => {
  for (const limit of [0.2, 0.4]) {
    const outcome = endpointResolution(two, hot, limit);
    expect(codeOf(outcome)).toBe("not-resolvable");
    if (outcome.ok) throw new Error("resolved");
    expect(outcome.refusal.needs).toBe(limit);
    expect(outcome.refusal.has).toBeCloseTo(2 * Math.SQRT2 * 0.77, 1);
  }
});

test("a matched pair that is left with 0.2 % and 0 K resolves it", () => {
  const matched: ProbePair = { kind: "matched", rhPercent: 0.2, temperatureK: 0 };
  expect(answerOf(endpointResolution(matched, hot, 0.2))).toBeLessThanOrEqual(0.2);
  expect(codeOf(endpointResolution({ ...matched, rhPercent: 0.3 }, hot, 0.2))).toBe("not-resolvable");
});

test("two mirrors of 0.2 K resolve 0.2 g/kg and two of 0.5 K do not", () => {
  expect(answerOf(endpointResolution({ kind: "dew-point", dewPointK: 0.2 }, hot, 0.2))).toBeLessThanOrEqual(0.2);
  expect(codeOf(endpointResolution({ kind: "dew-point", dewPointK: 0.5 }, hot, 0.2))).toBe("not-resolvable");
});

test.each([
  [20, 50, 1000],
  [50, 10, 976],
  [55, 90, 700],
  [75, 20, 1013],
])("sensitivities at %d Cel, %d %% and %d hPa are those of the mixing ratio itself", (tCel, rhPercent, pressureHpa) => {
  const air = { tCel, rhPercent, pressureHpa };
  const change = (t: number, rh: number): number => answerOf(mixingRatio(t, rh, pressureHpa));
  const byHumidity = change(tCel, rhPercent + 0.005) - change(tCel, rhPercent - 0.005);
  const byTemperature = change(tCel + 0.005, rhPercent) - change(tCel - 0.005, rhPercent);
  const matched = (rh: number, t: number): number =>
    answerOf(differenceError({ kind: "matched", rhPercent: rh, temperatureK: t }, air));
  expect(matched(0.01, 0) / byHumidity).toBeCloseTo(1, 4);
  expect(matched(0, 0.01) / byTemperature).toBeCloseTo(1, 4);
  expect(matched(0.01, 0.01) / Math.hypot(byHumidity, byTemperature)).toBeCloseTo(1, 4);
});

test("an error of the dew point is that of the mixing ratio at the dew point", () => {
  const ratio = (dew: number): number => answerOf(mixingRatioOfVapour(answerOf(saturationOverWater(dew)), 1000));
  const air = { tCel: 50, rhPercent: (100 * answerOf(saturationOverWater(12))) / answerOf(saturationOverWater(50)) };
  const error = answerOf(differenceError({ kind: "dew-point", dewPointK: 0.01 }, { ...air, pressureHpa: 1000 }));
  expect(error / (Math.SQRT2 * (ratio(12.005) - ratio(11.995)))).toBeCloseTo(1, 4);
});

test("nothing is said of air outside the formulas, of limits that are none, of errors that are none", () => {
  expect(codeOf(differenceError(two, { ...hot, tCel: Number.NaN }))).toBe("temperature-out-of-range");
  expect(codeOf(differenceError(two, { ...hot, rhPercent: 101 }))).toBe("humidity-out-of-range");
  expect(codeOf(differenceError(two, { ...hot, pressureHpa: 0 }))).toBe("pressure-out-of-range");
  expect(codeOf(differenceError({ kind: "dew-point", dewPointK: 0.2 }, { ...hot, rhPercent: 0 }))).toBe(
    "humidity-out-of-range",
  );
  for (const limit of [0, -1, Number.NaN]) expect(codeOf(endpointResolution(two, hot, limit))).toBe("not-positive");
  for (const bad of [-1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => differenceError({ ...two, rhPercent: bad }, hot)).toThrow(RangeError);
    expect(() => differenceError({ ...two, temperatureK: bad }, hot)).toThrow(RangeError);
    expect(() => differenceError({ kind: "dew-point", dewPointK: bad }, hot)).toThrow(RangeError);
  }
});
