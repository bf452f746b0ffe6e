import { expect, test } from "vitest";
import { biasStudy } from "../../../../spc/gauge/bias.ts";
import { biasAt, linearityStudy } from "../../../../spc/gauge/linearity.ts";
import { stabilityStudy } from "../../../../spc/gauge/stability.ts";
import type { Outcome } from "../../../../spc/model/outcome.ts";

const resultOf = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};
const close = (actual: number, expected: number, share = 1e-10): void =>
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(share * Math.max(Math.abs(expected), 1e-3));

// Readings: AIAG MSA 4th ed., ch. III-B, bias and linearity (from memory). Every digit below is base R 4.2.2: t.test,
// lm and predict; the manual's printed ones agree with it.
const bias = [5.8, 5.7, 5.9, 5.9, 6, 6.1, 6, 6.1, 6.4, 6.3, 6, 6.1, 6.2, 5.6, 6];
const linearity = [
  { reference: 2, readings: [2.7, 2.5, 2.4, 2.5, 2.7, 2.3, 2.5, 2.5, 2.4, 2.4, 2.6, 2.4] },
  { reference: 4, readings: [5.1, 3.9, 4.2, 5, 3.8, 3.9, 3.9, 3.9, 3.9, 4, 4.1, 3.8] },
  { reference: 6, readings: [5.8, 5.7, 5.9, 5.9, 6, 6.1, 6, 6.1, 6.4, 6.3, 6, 6.1] },
  { reference: 8, readings: [7.6, 7.7, 7.8, 7.7, 7.8, 7.8, 7.8, 7.7, 7.8, 7.5, 7.6, 7.7] },
  { reference: 10, readings: [9.1, 9.3, 9.5, 9.3, 9.4, 9.5, 9.5, 9.5, 9.6, 9.2, 9.3, 9.4] },
];

test("a bias of 0.0067 is no more than chance (AIAG [from memory], base R t.test)", () => {
  const found = resultOf(biasStudy(bias, 6, 0.95));
  close(found.bias, 0.00666666666666682);
  close(found.sd, 0.212019765475724);
  close(found.t, 0.121780575111866);
  close(found.p, 0.904803536227952);
  close(found.lower, -0.110745965900701);
  close(found.upper, 0.124079299234035);
});

test("the bias falls by 0.13 a unit: printed slope -0.1317, intercept 0.7367, R2 71.4 % (AIAG [from memory], base R lm)", () => {
  const line = resultOf(linearityStudy(linearity));
  close(line.slope.estimate, -0.131666666666667);
  close(line.slope.standardError, 0.0109334454718107);
  close(line.slope.test!.t, -12.0425594114992);
  expect(Math.abs(line.slope.test!.p / 2.03771558228573e-17 - 1)).toBeLessThan(1e-8);
  close(line.intercept.estimate, 0.736666666666666);
  close(line.intercept.standardError, 0.0725242725916125);
  close(line.intercept.test!.t, 10.1575188601321);
  expect(Math.abs(line.intercept.test!.p / 1.73379959546227e-14 - 1)).toBeLessThan(1e-8);
  close(line.s, 0.239539788646537);
  close(line.r2, 0.714318415932242);
  const low = biasAt(line, 2, 0.95);
  close(low.bias, 0.473333333333332);
  close(low.lower, 0.366115890056326);
  close(low.upper, 0.580550776610338);
  const middle = biasAt(line, 6, 0.95);
  close(middle.lower, -0.115235353071137);
  close(middle.upper, 0.00856868640446893);
});

// Constructed readings of a check standard; base R anova(lm(v ~ occasion)) and sd of the means.
test("occasions that differ by more than repeatability", () => {
  const found = resultOf(
    stabilityStudy([
      [10.1, 10.3, 10.2, 9.9],
      [10.4, 10.5, 10.2, 10.6],
      [10, 10.1, 9.8, 10.2],
      [10.3, 10.2, 10.4, 10.1],
    ]),
  );
  close(found.ratio!.f, 4.568);
  close(found.ratio!.p, 0.0234897329548612);
  close(found.repeatability.s, Math.sqrt(0.0260416666666666));
  expect(found.repeatability.df).toBe(12);
  close(found.betweenSd, 0.172451684054791);
});
