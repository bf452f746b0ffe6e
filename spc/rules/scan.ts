import type { Edges } from "./edges.ts";
import { edgesOf } from "./edges.ts";
import { directionOf, SLACK } from "./rule-pattern.ts";
import { scanTables } from "./scan-tables.ts";
import { stepKind, valueKind } from "./value-kind.ts";

/** Points in a row that cannot be judged and yet break nothing. */
export const MOST_MISSING = 3;

/** A chart's columns as loops read them: one number for all places, or one for each; what is not finite is none. */
export interface ScannedLines {
  readonly values: Float64Array;
  readonly centres: number | Float64Array;
  readonly sigmas: number | Float64Array;
  readonly lower: number | Float64Array;
  readonly upper: number | Float64Array;
}

/** Marks a half-open stretch of places without a break. */
export type Scan = (from: number, to: number, out: Uint8Array) => void;

/**
 * Scanner: which rules each place of a stretch completes, as bits in the order of `ruleIds`.
 *
 * @shape   a chart's columns, and whether more than its limits is asked for; then a stretch of places, and where the
 *          bits go, which come in as zeros
 * @unit    bits
 * @method  each value is told apart by the lines it lies between, each step by its direction, and `scanTables` says what
 *          that completes. With one set of lines for all places a value's kind is reckoned, and looked at closely only
 *          near a line; else each is compared with its own lines
 * @cost    O(places), without an object a place
 * @source  derived here; definitions as in `rule.ts`
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function scanner(lines: ScannedLines, patterns: boolean): Scan {
  const { values, centres, sigmas, lower, upper } = lines;
  const alike = typeof centres === "number" && typeof sigmas === "number";
  if (!alike || typeof lower !== "number" || typeof upper !== "number") {
    return (from, to, out) => scanEach(lines, from, to, out);
  }
  const low = Number.isFinite(lower) ? lower : null;
  const high = Number.isFinite(upper) ? upper : null;
  if (low === null && high === null) return () => {};
  const limits = edgesOf(low, high);
  if (!patterns || !(Number.isFinite(centres) && Number.isFinite(sigmas) && sigmas > 0)) {
    return (from, to, out) => scanLimits(values, limits, from, to, out);
  }
  const blur = blurOf(centres, sigmas);
  if (blur > 0.1) return (from, to, out) => scanEach(lines, from, to, out);
  return (from, to, out) => scanAlike(values, centres, sigmas, blur, limits, from, to, out);
}

/** How far, in sigma, a value may seem to lie from where it is, or count as on a line; infinite where a line overflows. */
function blurOf(centre: number, sigma: number): number {
  const finite = Number.isFinite(1 / sigma) && Number.isFinite(Math.abs(centre) + 3 * sigma);
  return finite ? 1e-9 + 4e-12 * (Math.abs(centre) / sigma + 8) : Infinity;
}

function scanLimits(values: Float64Array, { above, below }: Edges, from: number, to: number, out: Uint8Array): void {
  for (let place = from; place < to; place += 1) {
    const value = values[place]!;
    if ((value >= above || value <= below) && Number.isFinite(value)) out[place] = 1;
  }
}

function scanAlike(
  values: Float64Array,
  centre: number,
  sigma: number,
  blur: number,
  { above, below }: Edges,
  from: number,
  to: number,
  out: Uint8Array,
): void {
  const { sides, spread, steps } = scanTables();
  const scale = 1 / sigma;
  let missing = 0;
  let last = Number.NaN;
  let sideRow = 0;
  let spreadRow = 0;
  let stepRow = 0;
  for (let place = from; place < to; place += 1) {
    const value = values[place]!;
    // Only a finite number less itself is zero.
    if (value - value !== 0) {
      missing += 1;
      if (missing > MOST_MISSING) {
        last = Number.NaN;
        sideRow = spreadRow = stepRow = 0;
      }
      continue;
    }
    missing = 0;
    const gap = value - last;
    const size = Math.abs(gap);
    // Written so that what is no number, and what is near a tie, goes the exact way.
    const clear = size > 2 * SLACK * (Math.abs(value) + Math.abs(last)) && size < Number.MAX_VALUE;
    // 1 up and 2 down, without a branch that nothing can foresee.
    const step = clear ? ((3 - gap / size) >> 1) | 0 : stepKind(last, value);
    last = value;
    const seen = Math.max(0, Math.min(6, (value - centre) * scale + 3));
    const zone = (seen + blur) | 0;
    const kind = zone === ((seen - blur) | 0) && zone < 6 ? 2 * zone : valueKind(value, centre, sigma);
    const side = sides[sideRow + kind]!;
    const near = spread[spreadRow + kind]!;
    const turn = steps[stepRow + step]!;
    sideRow = side >> 8;
    spreadRow = near >> 8;
    stepRow = turn >> 8;
    const beyond = value >= above || value <= below ? 1 : 0;
    out[place] = (side | near | turn | beyond) & 255;
  }
}

function scanEach(lines: ScannedLines, from: number, to: number, out: Uint8Array): void {
  const { sides, spread, steps } = scanTables();
  const { values, centres, sigmas, lower: lowers, upper: uppers } = lines;
  let missing = 0;
  let lastValue = Number.NaN;
  let lastCentre = 0;
  let lastSigma = 1;
  let sideRow = 0;
  let spreadRow = 0;
  let stepRow = 0;
  for (let place = from; place < to; place += 1) {
    const value = values[place]!;
    const lower = typeof lowers === "number" ? lowers : lowers[place]!;
    const upper = typeof uppers === "number" ? uppers : uppers[place]!;
    const low = Number.isFinite(lower);
    const high = Number.isFinite(upper);
    let beyond = 0;
    const judged = Number.isFinite(value) && (low || high);
    if (judged) {
      const slack = SLACK * Math.max(Math.abs(value), low ? Math.abs(lower) : 0, high ? Math.abs(upper) : 0);
      beyond = (high && value > upper + slack) || (low && value < lower - slack) ? 1 : 0;
    }
    const centre = typeof centres === "number" ? centres : centres[place]!;
    const sigma = typeof sigmas === "number" ? sigmas : sigmas[place]!;
    if (!judged || !Number.isFinite(centre) || !Number.isFinite(sigma) || sigma <= 0) {
      out[place] = beyond;
      missing += 1;
      if (missing > MOST_MISSING) {
        lastValue = Number.NaN;
        sideRow = spreadRow = stepRow = 0;
      }
      continue;
    }
    missing = 0;
    const known = Number.isFinite(lastValue);
    const step = known ? directionOf(lastValue, lastCentre, lastSigma, value, centre, sigma) : 0;
    lastValue = value;
    lastCentre = centre;
    lastSigma = sigma;
    const kind = valueKind(value, centre, sigma);
    const side = sides[sideRow + kind]!;
    const near = spread[spreadRow + kind]!;
    const turn = steps[stepRow + (step < 0 ? 2 : step)]!;
    sideRow = side >> 8;
    spreadRow = near >> 8;
    stepRow = turn >> 8;
    out[place] = (side | near | turn | beyond) & 255;
  }
}
