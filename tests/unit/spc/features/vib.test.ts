import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import { altered, codeOf, flaskTrace, numberOf, runOf, traceOf } from "./traces.ts";

const [vibRms, vibCrest, vibHf] = ["vib.rms", "vib.crest", "vib.hf"].map((id) => featureCatalogue[id]!);
const [rms, crest, hf] = [vibRms!({}), vibCrest!({}), vibHf!({})];
const all = [rms, crest, hf];
const roleOf = { "vib.rms": "vibration-z.rms", "vib.crest": "vibration-z.peak", "vib.hf": "vibration-z.hf" };

test("RMS, crest and high band are those of the end of the final stage", () => {
  expect(numberOf(rms.extract(flaskTrace()))).toBeCloseTo(0.97, 2);
  expect(numberOf(hf.extract(flaskTrace()))).toBeCloseTo(0.044, 3);
  expect(Math.abs(numberOf(crest.extract(flaskTrace())) - 1.58 / 0.97)).toBeLessThan(0.02);
});

test("blocks combine by their mean square, not by their mean", () => {
  // Blocks of 1 g and of 3 g by turns, eight and seven of them: sqrt((8 + 7 * 9) / 15) or sqrt((7 + 8 * 9) / 15).
  const turns = altered(flaskTrace(), "vibration-z.rms", (one, tS) => ({
    ...one,
    value: Math.round(tS - 0.3) % 2 === 0 ? 1 : 3,
  }));
  const squares = numberOf(rms.extract(turns)) ** 2 * 15;
  expect([8 + 7 * 9, 7 + 8 * 9].some((expected) => Math.abs(squares - expected) < 1e-9)).toBe(true);
});

test("exactly the last 15 whole blocks count: neither an earlier one nor the one that the stop cuts", () => {
  // Final ends at 90.4 s; blocks start at .3 s, so the last whole one is that of 89.3 s, the first counted 75.3 s.
  const from = (fromS: number, toS: number) =>
    altered(flaskTrace(), "vibration-z.rms", (one, tS) => (tS >= fromS && tS < toS ? { ...one, value: 9 } : one));
  const clean = numberOf(rms.extract(flaskTrace()));
  expect(numberOf(rms.extract(from(0, 75)))).toBe(clean);
  expect(numberOf(rms.extract(from(75, 76)))).toBeGreaterThan(2);
  expect(numberOf(rms.extract(from(89, 90)))).toBeGreaterThan(2);
  const cut = { ...flaskTrace(), run: runOf(90.2, [["final", 60, 90.2]]) };
  const stop = altered(cut, "vibration-z.rms", (one, tS) => (tS > 89.2 ? { ...one, value: 0.1 } : one));
  expect(numberOf(rms.extract(stop))).toBeGreaterThan(0.96);
});

test("a knock in one second is enough for the crest", () => {
  const knock = altered(flaskTrace(), "vibration-z.peak", (one, tS) =>
    tS > 80 && tS < 81 ? { ...one, value: 4.16 } : one,
  );
  expect(Math.abs(numberOf(crest.extract(knock)) - 4.16 / 0.97)).toBeLessThan(0.02);
});

test.each(all)("$id may lack one of its 15 seconds and not two", (feature) => {
  const role = roleOf[feature.id as keyof typeof roleOf];
  const lacking = (...seconds: number[]) =>
    altered(flaskTrace(), role, (one, tS) => (seconds.includes(Math.floor(tS)) ? null : one));
  expect(feature.extract(lacking(80)).ok).toBe(true);
  expect(codeOf(feature.extract(lacking(78, 84)))).toBe("coverage-too-low");
  const none = altered(flaskTrace(), role, (one, tS) =>
    tS > 80 && tS < 83 ? { ...one, value: null, quality: "uncertain" } : one,
  );
  expect(codeOf(feature.extract(none))).toBe("coverage-too-low");
});

test.each(all)("$id is refused without a final stage, with a short one, or one whose end was not seen", (feature) => {
  const trace = flaskTrace();
  expect(codeOf(feature.extract({ ...trace, run: runOf(60, [["fill", 20, 60]]) }))).toBe("segment-missing");
  expect(codeOf(feature.extract({ ...trace, run: runOf(75, [["final", 60, 75]]) }))).toBe("segment-too-short");
  expect(codeOf(feature.extract({ ...trace, run: runOf(90.4, [["final", 60, 90.4]], "gap") }))).toBe("run-cut-short");
  expect(codeOf(feature.extract(traceOf(trace.run, {})))).toBe("role-missing");
});

test.each(all)("$id is refused when its channel stands still", (feature) => {
  const role = roleOf[feature.id as keyof typeof roleOf];
  expect(codeOf(feature.extract(altered(flaskTrace(), role, (one) => ({ ...one, value: 0 }))))).toBe("signal-stuck");
});

test("a table that stopped before the end has no crest", () => {
  const still = altered(flaskTrace(), "vibration-z.rms", (one, tS) => (tS > 82 ? { ...one, value: 0 } : one));
  expect(codeOf(vibCrest!({ seconds: 7 }).extract(still))).toBe("no-vibration");
});

test("how many seconds count is a setting", () => {
  expect(numberOf(vibRms!({ seconds: 5 }).extract(flaskTrace()))).toBeCloseTo(0.97, 2);
  expect(() => vibRms!({ seconds: 0 })).toThrow("vib.rms needs a number above 0 for seconds, got 0");
});
