import { expect, test } from "vitest";
import { fitBoxCox } from "../../../../spc/models/box-cox.ts";
import { magnitudes } from "./samples.ts";

// Base R 4.2.2: optimize and uniroot on the likelihood as Box and Cox 1964 wrote it, without the geometric mean.
test("the likeliest power, its interval, and the power people know inside it", () => {
  const found = fitBoxCox(magnitudes, 0.95);
  if (!found.ok) throw new Error(found.refusal.detail);
  const { lambda, lower, upper, chosen, logLikelihood, confidence } = found.value;
  expect(Math.abs(lambda - -0.0598472913010152)).toBeLessThan(1e-7);
  expect(Math.abs(logLikelihood - -6.98645987483365)).toBeLessThan(1e-10);
  expect(Math.abs(lower! - -0.615563672798597)).toBeLessThan(1e-7);
  expect(Math.abs(upper! - 0.479849133234143)).toBeLessThan(1e-7);
  expect([chosen, confidence]).toEqual([0, 0.95]);
});

test("another unit moves no power", () => {
  const one = fitBoxCox(magnitudes, 0.95);
  const other = fitBoxCox(
    magnitudes.map((x) => 25.4 * x),
    0.95,
  );
  if (!one.ok || !other.ok) throw new Error("refused");
  expect(Math.abs(one.value.lambda - other.value.lambda)).toBeLessThan(1e-7);
  expect(Math.abs(one.value.lower! - other.value.lower!)).toBeLessThan(1e-9);
});
