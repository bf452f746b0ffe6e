import { normalQuantile } from "../library/normal.ts";
import type { Column } from "../model/column.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { columnAutocorrelations } from "./column-autocorrelation.ts";

/** Fewer values say nothing of neighbours. */
const LEAST = 10;
/** A coefficient beyond is a drift that no stationary model fits. */
const FARTHEST = 0.99;
/** Magnitudes that autocorrelations can be computed of. */
const LARGEST = 1e307;
/** Lags whose autocorrelations the dependent share is fitted to. */
const LAGS = 5;

/** A first-order autoregression fitted to a baseline: each value leans towards the one before it. */
export interface Ar1Fit {
  /** Lag-1 autocorrelation, kept within -0.99 to 0.99. */
  readonly phi: number;
  /** sqrt((1 - phi^2) / n). */
  readonly standardError: number;
  /** Values behind it. */
  readonly n: number;
  /** Whether it lies outside the band that chance alone keeps it in, 95 %. */
  readonly significant: boolean;
}

/**
 * AR(1) fit: how strongly a value leans towards the one before it.
 *
 * @shape   plotted points of a baseline in time order; none where one is missing, and no pair is made with it
 * @unit    dimensionless
 * @method  phi = r_1; standard error sqrt((1 - phi^2) / n); significant when |r_1| > 1.96 / sqrt(n). r_1 lies too low by
 *          about (1 + 4 phi) / n
 * @refuses too-few below ten values; zero-variation; not-finite beyond 1e307
 * @cost    O(n)
 * @source  Box and Jenkins 1970 (from memory); bias: Kendall 1954 (from memory)
 * @checked tests/unit/spc/time-weighted/ar1.test.ts
 */
export function fitAr1(column: Column): Outcome<Ar1Fit> {
  const found = lags(column, 1);
  if (!found.ok) return found;
  const { n, r } = found.value;
  const phi = Math.max(-FARTHEST, Math.min(FARTHEST, r[0]!));
  return ok({
    phi,
    standardError: Math.sqrt((1 - phi * phi) / n),
    n,
    significant: Math.abs(r[0]!) > normalQuantile(0.975) / Math.sqrt(n),
  });
}

/**
 * Dependent share: which part of the variation carries over to the next points, and how long it lasts.
 *
 * @shape   plotted points of a baseline in time order; none where one is missing
 * @unit    dimensionless
 * @method  points = AR(1) + white noise: r_k = share phi^k. Least squares over the first lags, up to five and a tenth of
 *          the values, over phi from 0 to 0.99 and share from 0 to 1. None where r_1 is not above zero: a negative one would
 *          narrow limits, and is not believed. Whether r_1 is significant does not count: who asks has reason to, and a
 *          share by chance widens limits a little
 * @refuses too-few below ten values; zero-variation; not-finite beyond 1e307
 * @cost    O(n) for each lag, and a search of some hundred steps
 * @source  model: common practice, no source; fit derived here
 * @checked tests/unit/spc/time-weighted/ar1.test.ts
 */
export function dependentShare(column: Column): Outcome<{ readonly share: number; readonly phi: number }> {
  const first = fitAr1(column);
  if (!first.ok) return first;
  const { n, phi: one } = first.value;
  if (one <= 0) return ok({ share: 0, phi: 0 });
  const found = lags(column, Math.min(LAGS, Math.max(1, Math.floor(n / 10))));
  if (!found.ok) return found;
  const { r } = found.value;
  let best = { share: 1, phi: one, off: Number.POSITIVE_INFINITY };
  for (let step = 1; step <= 198; step += 1) {
    const phi = step / 200;
    const powers = r.map((_, k) => phi ** (k + 1));
    const squares = powers.reduce((sum, power) => sum + power * power, 0);
    const products = powers.reduce((sum, power, k) => sum + power * r[k]!, 0);
    const share = Math.max(0, Math.min(1, products / squares));
    const off = powers.reduce((sum, power, k) => sum + (r[k]! - share * power) ** 2, 0);
    if (off < best.off) best = { share, phi, off };
  }
  return ok({ share: best.share, phi: best.phi });
}

function lags(column: Column, count: number): ReturnType<typeof columnAutocorrelations> {
  const raw = column.raw;
  if (typeof raw !== "number") {
    let there = 0;
    let far = false;
    for (let i = 0; i < raw.length; i += 1) {
      if (!Number.isFinite(raw[i]!)) continue;
      there += 1;
      if (Math.abs(raw[i]!) > LARGEST) far = true;
    }
    if (far) return refuse("not-finite", "arithmetic with the values leaves the range of numbers");
    if (there < LEAST) {
      const detail = `${LEAST} values are needed to see how neighbours depend on each other, ${there} are there`;
      return refuse("too-few", detail, { needs: LEAST, has: there });
    }
  }
  return columnAutocorrelations(column, count);
}
