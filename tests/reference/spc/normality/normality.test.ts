import { expect, test } from "vitest";
import { andersonDarling, olderAdjustment } from "../../../../spc/normality/anderson-darling.ts";
import { logNormalCdf } from "../../../../spc/normality/log-normal-cdf.ts";
import { shapiroWilk } from "../../../../spc/normality/shapiro-wilk.ts";
import { relativeError } from "../relative-error.ts";

// The published series of normality_autocorr_checks.csv stand in ../stats/series-statistics.test.ts.

/** R 4.2.2: pnorm(z, log.p = TRUE). */
const LOGARITHMS: readonly (readonly [number, number])[] = [
  [-5, -15.064998393988725],
  [-19.9, -201.9171677073326],
  [-20, -203.91715537109727],
  [-25, -316.63940800802027],
  [-37, -689.03058557689064],
  [-50, -1254.8313611394199],
  [-1e5, -5000000012.4318638],
  [3, -0.0013508099647481938],
  [9, -1.1285884059538408e-19],
];

test.each(LOGARITHMS)("the logarithm of the normal's lower tail at %d is that of R 4.2.2", (z, logarithm) => {
  expect(relativeError(logNormalCdf(z), logarithm)).toBeLessThan(1e-11);
});

/** R 4.2.2: set.seed(n); x <- round(rnorm(n), 3); shapiro.test(x). */
const SMALL: readonly (readonly [readonly number[], number, number])[] = [
  [[-0.962, -0.293, 0.259], 0.99694865066563931, 0.89444751685491775],
  [[0.217, -0.542, 0.891, 0.596], 0.95286922324563561, 0.73407576815517106],
  [[-0.841, 1.384, -1.255, 0.07, 1.711], 0.91163960540422928, 0.47750593647035372],
  [[0.27, -0.63, 0.869, 1.727, 0.024, 0.368], 0.97176798884875548, 0.90409361631344209],
  [[2.287, -1.197, -0.694, -0.412, -0.971, -0.947, 0.748], 0.80501692491062982, 0.04590676964105174],
  [
    [-0.591, 0.027, -1.517, -1.363, 1.178, -0.934, 1.324, 0.625, -0.046, -1.004, -0.828],
    0.92225767113794976,
    0.33789470382890563,
  ],
  [
    [-1.481, 1.577, -0.957, -0.92, -1.998, -0.272, -0.315, -0.628, -0.106, 0.428, -0.778, -1.294],
    0.95403318739960774,
    0.69647233010376786,
  ],
];

/** R 4.2.2: shapiro.test(1:5000), shapiro.test(sin(1:47) * 3 + 2), shapiro.test(exp(sin(1:1000))). */
const LONG: readonly (readonly [readonly number[], number, number])[] = [
  [Array.from({ length: 5000 }, (_, i) => i + 1), 0.95490601989931523, 9.4126815084198069e-37],
  [Array.from({ length: 47 }, (_, i) => Math.sin(i + 1) * 3 + 2), 0.89769015093452398, 0.00060830597276620457],
  [Array.from({ length: 1000 }, (_, i) => Math.exp(Math.sin(i + 1))), 0.86631662826663569, 2.3386726822347193e-28],
];

test.each([...SMALL, ...LONG].map(([x, w, p]) => [x.length, x, w, p] as const))(
  "Shapiro-Wilk of %d values is that of R 4.2.2",
  (_, x, w, p) => {
    const found = shapiroWilk(x);
    if (!found.ok) throw new Error(found.refusal.detail);
    expect(Math.abs(found.value.w - w)).toBeLessThan(1e-9);
    expect(relativeError(found.value.p, p)).toBeLessThan(1e-7);
  },
);

test("the heat flow meter's adjusted statistic .12697 is NIST/SEMATECH e-Handbook 1.4.2.8.3's .129 by the older adjustment", () => {
  // Stephens' adjustment taken back: the handbook prints .129 for n = 195, critical .787; by Stephens it is .12697.
  const n = 195;
  const a2 = 0.12697 / (1 + 0.75 / n + 2.25 / (n * n));
  expect(olderAdjustment({ a2, n }).toFixed(3)).toBe("0.129");
});

test("the 5 % point of the adjusted statistic is .752 (D'Agostino and Stephens 1986, from memory)", () => {
  // Two values far apart and n - 2 between them make statistics of any size; p must pass 5 % where it is .752.
  const found = [0, 0.5, 0.9, 1, 1.1, 1.2, 1.3, 1.4].map((power) => {
    const x = Array.from({ length: 40 }, (_, i) => Math.sinh(power * ((i - 19.5) / 5)) || (i - 19.5) / 5);
    const outcome = andersonDarling(x);
    if (!outcome.ok) throw new Error(outcome.refusal.detail);
    return outcome.value;
  });
  expect(found.some(({ adjusted }) => adjusted > 0.752)).toBe(true);
  expect(found.some(({ adjusted }) => adjusted < 0.752)).toBe(true);
  for (const { adjusted, p } of found) if (Math.abs(adjusted - 0.752) > 0.002) expect(p < 0.05).toBe(adjusted > 0.752);
});
