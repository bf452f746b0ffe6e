import { c4 } from "./c4.ts";
import { d2 } from "./d2.ts";
import { d3 } from "./d3.ts";
import { medianSigma } from "./median-sigma.ts";

// What handbooks print for three sigma. The charts count from sigma and n; these are for people who check by hand.

/** Half-width of the limits of averages over sigma: 3 / sqrt(n).
 * @unit dimensionless
 * @source ISO 7870-2 (from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorA(n: number, k = 3): number {
  return k / Math.sqrt(n);
}

/** Half-width of the limits of averages over the mean range: 3 / (d2 sqrt(n)).
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorA2(n: number, k = 3): number {
  return k / (d2(n) * Math.sqrt(n));
}

/** Half-width of the limits of averages over the mean s: 3 / (c4 sqrt(n)).
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorA3(n: number, k = 3): number {
  return k / (c4(n) * Math.sqrt(n));
}

/** Half-width of the limits of medians over the mean range: 3 sd of the median / d2.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorA4(n: number, k = 3): number {
  return (k * medianSigma(n)) / d2(n);
}

/** Lower limit of s over the mean s, not below zero.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorB3(n: number, k = 3): number {
  return factorB5(n, k) / c4(n);
}

/** Upper limit of s over the mean s.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorB4(n: number, k = 3): number {
  return factorB6(n, k) / c4(n);
}

/** Lower limit of s over sigma, not below zero: c4 - 3 sqrt(1 - c4^2).
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorB5(n: number, k = 3): number {
  return Math.max(0, c4(n) - k * Math.sqrt(1 - c4(n) ** 2));
}

/** Upper limit of s over sigma: c4 + 3 sqrt(1 - c4^2).
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorB6(n: number, k = 3): number {
  return c4(n) + k * Math.sqrt(1 - c4(n) ** 2);
}

/** Lower limit of the range over sigma, not below zero: d2 - 3 d3.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorD1(n: number, k = 3): number {
  return Math.max(0, d2(n) - k * d3(n));
}

/** Upper limit of the range over sigma: d2 + 3 d3.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorD2(n: number, k = 3): number {
  return d2(n) + k * d3(n);
}

/** Lower limit of the range over the mean range, not below zero.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorD3(n: number, k = 3): number {
  return factorD1(n, k) / d2(n);
}

/** Upper limit of the range over the mean range.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorD4(n: number, k = 3): number {
  return factorD2(n, k) / d2(n);
}

/** Half-width of the limits of single values over the mean range of n: 3 / d2.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorE2(n: number, k = 3): number {
  return k / d2(n);
}

/** Half-width of the limits of single values over the mean s of n: 3 / c4.
 * @unit dimensionless
 * @source ISO 7870-2; ASTM MNL 7 (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts */
export function factorE3(n: number, k = 3): number {
  return k / c4(n);
}
