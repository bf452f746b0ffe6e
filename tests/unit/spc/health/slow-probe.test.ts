import { expect, test } from "vitest";
import { slowProbe } from "../../../../spc/health/slow-probe.ts";

/** Answer of a first-order probe that falls from 0.9 to 0, a reading each 50 ms. */
const fall = (tau: number, from = 0.9, seconds = 4) => ({
  readings: Array.from({ length: seconds * 20 }, (_, i) => ({ tMs: i * 50, value: from * Math.exp(-i / 20 / tau) })),
  from,
  to: 0,
});
const step = { stepMs: 0, atMostSeconds: 1.8 };

test("a quick answer is well", () => {
  const finding = slowProbe({ ...fall(0.9), ...step, witness: null });
  expect(finding).toEqual({
    check: "slow-probe",
    verdict: "well",
    says: "answers a step with 0.9 s, 1.8 s at most is healthy",
  });
});

test("slow while the witness was quick: the instrument or what leads to it", () => {
  const finding = slowProbe({ ...fall(3, 0.9, 9), ...step, witness: { ...fall(1.5, 120), atMostSeconds: 3 } });
  expect(finding).toMatchObject({ check: "slow-probe", verdict: "fault" });
  expect(finding?.says).toMatch(/the witness took 1\.5 s, so the step itself was quick$/);
});

test("slow like its witness, or without one, may be the process", () => {
  expect(slowProbe({ ...fall(3, 0.9, 9), ...step, witness: null })?.verdict).toBe("undecided");
  const witness = { ...fall(5, 120, 12), atMostSeconds: 3 };
  expect(slowProbe({ ...fall(3, 0.9, 9), ...step, witness })?.verdict).toBe("undecided");
});

test("no step, no answer", () => {
  expect(slowProbe({ readings: [], stepMs: 0, from: 0.9, to: 0, atMostSeconds: 1, witness: null })).toBeNull();
  expect(slowProbe({ ...fall(0.9, 0), ...step, witness: null })).toBeNull();
});
