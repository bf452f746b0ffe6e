import { expect, test } from "vitest";
import { dryDwEnd } from "../../../../spc/features/dry-dw-end.ts";
import { dryRhPeak } from "../../../../spc/features/dry-rh-peak.ts";
import { altered, codeOf, dryerTrace, numberOf, runOf, traceOf } from "./traces.ts";

const [gain, peak] = [dryDwEnd({}), dryRhPeak({})];

test("the gain at the end is return minus supply humidity ratio: 1 percent at 50 Cel is about 0.77 g/kg", () => {
  // d/dRH of 621.98 e/(p - e) at RH 7 %, e_w = 123.45 hPa (WMO-No. 8), p = 1013.25 hPa: 0.770 g/kg a percent.
  expect(Math.abs(numberOf(gain.extract(dryerTrace(1))) - 0.77)).toBeLessThan(0.01);
  expect(Math.abs(numberOf(gain.extract(dryerTrace(0))))).toBeLessThan(0.01);
});

test("the site's ambient pressure counts: thinner air carries more water by the kilogram", () => {
  const low = { ...dryerTrace(1), ambientPressureHpa: 900 };
  expect(numberOf(gain.extract(low)) / numberOf(gain.extract(dryerTrace(1)))).toBeCloseTo(1013.25 / 900, 1);
});

test("a supply that swings does not show, since it is taken off moment by moment", () => {
  const holed = altered(dryerTrace(1), "return-rh", (one, tS) => (tS > 12_800 && tS < 12_950 ? null : one));
  expect(Math.abs(numberOf(gain.extract(holed)) - 0.77)).toBeLessThan(0.01);
});

test("readings that are stamped up to half a spacing apart are taken together", () => {
  const shifted = ["return-t", "supply-rh", "supply-t"].reduce(
    (trace, role, i) => altered(trace, role, (one) => ({ ...one, tMs: one.tMs + 4000 * (i + 1) })),
    dryerTrace(1),
  );
  expect(Math.abs(numberOf(gain.extract(shifted)) - 0.77)).toBeLessThan(0.02);
});

test.each(["return-rh", "return-t", "supply-rh", "supply-t"])(
  "the gain is refused when %s misses more than a tenth of the last 30 min, or stands still",
  (role) => {
    const holed = altered(dryerTrace(), role, (one, tS) => (tS > 13_000 && tS < 13_260 ? null : one));
    expect(codeOf(gain.extract(holed))).toBe("coverage-too-low");
    expect(codeOf(gain.extract(altered(dryerTrace(), role, (one) => ({ ...one, value: 40 }))))).toBe("signal-stuck");
  },
);

test("what is missing before the last 30 min does not matter to the gain, but does to the peak", () => {
  const holed = altered(dryerTrace(1), "return-rh", (one, tS) => (tS > 2000 && tS < 4000 ? null : one));
  expect(gain.extract(holed).ok).toBe(true);
  expect(codeOf(peak.extract(holed))).toBe("coverage-too-low");
});

test("small losses in all four readings add up, since a moment needs all of them", () => {
  const lossy = ["return-rh", "return-t", "supply-rh", "supply-t"].reduce(
    (trace, role, r) => altered(trace, role, (one, tS) => (Math.round(tS / 30) % 15 === 3 * r ? null : one)),
    dryerTrace(1),
  );
  expect(codeOf(gain.extract(lossy))).toBe("coverage-too-low");
});

test.each([
  ["return-t", 101],
  ["return-rh", 100.5],
  ["supply-rh", -0.5],
])("moments with %s at %d, outside the range of the formula, are missing", (role, value) => {
  const wild = altered(dryerTrace(), role, (one, tS) =>
    tS > 13_000 ? { ...one, value: value + (value > 0 ? 0.1 : -0.1) * (tS % 60) } : one,
  );
  expect(codeOf(gain.extract(wild))).toBe("coverage-too-low");
});

test("the window is a setting, and a load must have lasted it", () => {
  expect(dryDwEnd({ minutes: 10 }).extract(dryerTrace()).ok).toBe(true);
  expect(codeOf(dryDwEnd({ minutes: 300 }).extract(dryerTrace()))).toBe("segment-too-short");
  expect(() => dryDwEnd({ minute: 10 })).toThrow("dry.dw_end has no setting minute: it knows minutes");
});

test("the peak is the highest return humidity, and a single spike is not it", () => {
  const clean = numberOf(peak.extract(dryerTrace()));
  // Supply 6.5 + 0.8 sin, hump of 10 about 3000 s, 0.5 above.
  expect(Math.abs(clean - 16.9)).toBeLessThan(0.3);
  const spiked = altered(dryerTrace(), "return-rh", (one, tS) => (tS === 9000 ? { ...one, value: 100 } : one));
  expect(numberOf(peak.extract(spiked))).toBe(clean);
});

test.each([gain, peak])("$id is refused when the release was not seen", (feature) => {
  for (const closedBy of ["timeout", "gap"] as const) {
    expect(codeOf(feature.extract({ ...dryerTrace(), run: runOf(14_400, [], closedBy) }))).toBe("run-cut-short");
  }
});

test.each([gain, peak])("$id is refused without its roles", (feature) => {
  expect(codeOf(feature.extract(traceOf(runOf(14_400), {})))).toBe("role-missing");
});

test("a load of two readings has no peak", () => {
  const short = altered({ ...dryerTrace(), run: runOf(60) }, "return-rh", (one, tS) => (tS < 60 ? one : null));
  expect(codeOf(peak.extract(short))).toBe("too-few-samples");
});
