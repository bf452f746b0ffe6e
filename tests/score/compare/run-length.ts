import { quickNormal, randomAt } from "../../../simulator/random.ts";
import type { Dependence } from "../../../spc/charts/ewma-width.ts";
import { ewmaVariance } from "../../../spc/charts/ewma-width.ts";
import type { Side } from "../../../spc/model/signal.ts";

/** A chart as it was designed, in healthy sigma of the values or averages that it is of. */
export interface ReferenceChart {
  /** Points that the limits were estimated from. */
  readonly n: number;
  readonly dependence: Dependence;
  /** Null for values or averages themselves. */
  readonly ewma: { readonly lambda: number; readonly width: number } | null;
  /** Whether limits rule at all: some charts have a specification alone. */
  readonly limits: boolean;
  /** Distance of the specification from the healthy mean to each side; null for none. */
  readonly specification: { readonly above: number | null; readonly below: number | null };
}

const limitSigma = 3;
/** Points that go before the fault, so that a weighted mean has its memory. */
const before = 30;

/**
 * The point, counted from 0, by which a share of all such charts has signalled a fault on its side; null where that takes
 * longer than the fault is there.
 */
export function foundBy(
  chart: ReferenceChart,
  shifts: readonly number[],
  side: Side,
  share: number,
  trials = 1000,
): number | null {
  // Sooner known than at the end of all trials: it cannot be found often enough any more.
  const most = trials - Math.ceil(share * trials);
  const found = signalsAt(chart, shifts, side, trials, most);
  return found === null ? null : percentile(found, share, trials);
}

/** The same for a step of some sigma that stays, for several shares at once; null beyond 400 points. */
export function runLengths(
  chart: ReferenceChart,
  shift: number,
  shares: readonly number[],
  trials = 300,
): readonly (number | null)[] {
  const found = signalsAt(chart, new Array<number>(400).fill(shift), "above", trials, trials) as Int32Array;
  return shares.map((share) => {
    const at = percentile(found, share, trials);
    return at === null ? null : at + 1;
  });
}

function percentile(found: Int32Array, share: number, trials: number): number | null {
  let so = 0;
  for (let at = 0; at < found.length; at += 1) {
    so += found[at]!;
    if (so >= share * trials) return at;
  }
  return null;
}

/**
 * How many of so many charts signal first at each point; null once more than `most` never do. Simulated: limits estimated
 * from `n` points (centre and sigma err as those of dependent values do), then points that lean on each other and stand
 * off by `shifts`.
 */
function signalsAt(
  chart: ReferenceChart,
  shifts: readonly number[],
  side: Side,
  trials: number,
  most: number,
): Int32Array | null {
  const sign = side === "above" ? 1 : -1;
  const found = new Int32Array(shifts.length);
  const { dependence, ewma, specification } = chart;
  const line = specification[side];
  const [lambda, width] = ewma === null ? [1, limitSigma] : [ewma.lambda, ewma.width];
  const deviation = Math.sqrt(ewmaVariance(lambda, dependence));
  const errors = errorsOf(chart);
  const [own, leaning] = [Math.sqrt(1 - dependence.share), Math.sqrt(dependence.share)];
  const kick = Math.sqrt(1 - dependence.phi ** 2);
  let missed = 0;
  for (let trial = 0; trial < trials; trial += 1) {
    const normal = quickNormal(randomAt(20261125, "score", trial, "run-length"));
    const centre = errors.centre * normal();
    const half = width * deviation * Math.max(0.2, 1 + errors.sigma * normal());
    let state = normal();
    let mean = 0;
    let at = -before;
    for (; at < shifts.length; at += 1) {
      state = dependence.phi * state + kick * normal();
      const value = leaning * state + own * normal() + (at < 0 ? 0 : sign * shifts[at]!);
      mean = lambda * value + (1 - lambda) * mean;
      if (at < 0) continue;
      if (chart.limits && mean - centre > half) break;
      if (line !== null && value > line) break;
    }
    if (at === shifts.length) missed += 1;
    else found[at]! += 1;
    if (missed > most) return null;
  }
  return found;
}

/** Standard errors of centre and sigma, in sigma, of n values with lag-k autocorrelation share phi^k. */
function errorsOf({ n, dependence: { share, phi } }: ReferenceChart): {
  readonly centre: number;
  readonly sigma: number;
} {
  const inflated = 1 + (2 * share * phi) / (1 - phi);
  const squares = 1 + (2 * share ** 2 * phi ** 2) / (1 - phi ** 2);
  return { centre: Math.sqrt(inflated / n), sigma: Math.sqrt(squares / (2 * n)) };
}

/** An AR(1) part beside a white one that gives these lag-1 and lag-2 autocorrelations. */
export function dependenceOf(lag1: number, lag2: number): Dependence {
  if (lag1 < 0.05) return { share: 0, phi: 0 };
  const phi = Math.min(0.99, Math.max(lag1, lag2 / lag1));
  return { share: Math.min(1, lag1 / phi), phi };
}
