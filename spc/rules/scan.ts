import type { Edges } from "./edges.ts";
import { edgesOf, insideEdges } from "./edges.ts";
import type { Rule } from "./rule.ts";
import { rules } from "./rule.ts";
import { directionOf, SLACK } from "./rule-pattern.ts";

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

/** The last points as bits, the newest lowest: all ones of so many. */
const ones = (count: number): number => 2 ** count - 1;
const countOf = (rule: Rule): number => (rule.kind === "window" ? rule.of : rule.kind === "limit" ? 1 : rule.points);

/** For each set of the last `of` points whether the newest is among them and `hits` are in all. */
function tableOf(rule: Rule): Uint8Array {
  const { hits, of } = rule.kind === "window" ? rule : { hits: 1, of: 1 };
  const enough = (set: number): boolean => [...set.toString(2)].filter((bit) => bit === "1").length >= hits;
  return Uint8Array.from({ length: 2 ** of }, (_, set) => (set % 2 === 1 && enough(set) ? 1 : 0));
}

const [, nine, trend, alternating, farOut, offCentre, inside, outside] = rules as readonly Rule[] & { length: 8 };
const NINE = ones(countOf(nine!));
const STEPS = ones(countOf(trend!) - 1);
const TURNS = ones(countOf(alternating!) - 1);
const UP_FIRST = 0x55555555 & TURNS;
const DOWN_FIRST = 0x2aaaaaaa & TURNS;
const FAR = tableOf(farOut!);
const OFF = tableOf(offCentre!);
const FAR_MASK = ones(countOf(farOut!));
const OFF_MASK = ones(countOf(offCentre!));
const INSIDE = ones(countOf(inside!));
const OUTSIDE = ones(countOf(outside!));
const NEAR_LINE = 1;
const FAR_LINE = 2;

/** Marks a half-open stretch of places without a break. */
export type Scan = (from: number, to: number, out: Uint8Array) => void;

/**
 * Scanner: which rules each place of a stretch completes, as bits in the order of `ruleIds`.
 *
 * @shape   a chart's columns; then a stretch of places, and where the bits go, which come in as zeros
 * @unit    bits
 * @method  the last points of each kind as bits of one number, so that a pattern is complete when they equal a mask. With
 *          one set of lines for all places a value is compared with the edges of `edgesOf`; else each is judged by itself
 * @cost    O(places), without an object a place
 * @source  derived here; definitions as in `rule.ts`
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function scanner(lines: ScannedLines): Scan {
  const { values, centres, sigmas, lower, upper } = lines;
  const alike = typeof centres === "number" && typeof sigmas === "number";
  if (!alike || typeof lower !== "number" || typeof upper !== "number") {
    return (from, to, out) => scanEach(lines, from, to, out);
  }
  const low = Number.isFinite(lower) ? lower : null;
  const high = Number.isFinite(upper) ? upper : null;
  if (low === null && high === null) return () => {};
  const limits = edgesOf(low, high);
  if (!(Number.isFinite(centres) && Number.isFinite(sigmas) && sigmas > 0)) {
    return (from, to, out) => scanLimits(values, limits, from, to, out);
  }
  const near = [centres - NEAR_LINE * sigmas, centres + NEAR_LINE * sigmas] as const;
  const edges: ZoneEdges = {
    limits,
    centre: edgesOf(centres, centres),
    near: edgesOf(...near),
    far: edgesOf(centres - FAR_LINE * sigmas, centres + FAR_LINE * sigmas),
    inside: insideEdges(...near),
  };
  return (from, to, out) => scanAlike(values, edges, from, to, out);
}

interface ZoneEdges {
  readonly limits: Edges;
  readonly centre: Edges;
  readonly near: Edges;
  readonly far: Edges;
  readonly inside: { readonly from: number; readonly to: number };
}

function scanLimits(values: Float64Array, { above, below }: Edges, from: number, to: number, out: Uint8Array): void {
  for (let place = from; place < to; place += 1) {
    const value = values[place]!;
    if (Number.isFinite(value)) out[place] = +(value >= above) | +(value <= below);
  }
}

function scanAlike(values: Float64Array, edges: ZoneEdges, from: number, to: number, out: Uint8Array): void {
  const { above, below } = edges.limits;
  const { above: above0, below: below0 } = edges.centre;
  const { above: above1, below: below1 } = edges.near;
  const { above: above2, below: below2 } = edges.far;
  const { from: inFrom, to: inTo } = edges.inside;
  let missing = 0;
  let last = Number.NaN;
  let a0 = 0;
  let b0 = 0;
  let a1 = 0;
  let b1 = 0;
  let a2 = 0;
  let b2 = 0;
  let within = 0;
  let up = 0;
  let down = 0;
  for (let place = from; place < to; place += 1) {
    const value = values[place]!;
    if (!Number.isFinite(value)) {
      missing += 1;
      if (missing > MOST_MISSING) {
        last = Number.NaN;
        a0 = b0 = a1 = b1 = a2 = b2 = within = up = down = 0;
      }
      continue;
    }
    missing = 0;
    // A comparison with no last value is false: the first point of a row has no step.
    const slack = SLACK * Math.max(Math.abs(value), Math.abs(last));
    up = (up << 1) | +(value > last + slack);
    down = (down << 1) | +(value < last - slack);
    last = value;
    a0 = (a0 << 1) | +(value >= above0);
    b0 = (b0 << 1) | +(value <= below0);
    a1 = (a1 << 1) | +(value >= above1);
    b1 = (b1 << 1) | +(value <= below1);
    a2 = (a2 << 1) | +(value >= above2);
    b2 = (b2 << 1) | +(value <= below2);
    within = (within << 1) | (+(value >= inFrom) & +(value <= inTo));
    out[place] = +(value >= above) | +(value <= below) | bitsOf(a0, b0, a1, b1, a2, b2, within, up, down);
  }
}

function scanEach(lines: ScannedLines, from: number, to: number, out: Uint8Array): void {
  const { values, centres, sigmas, lower: lowers, upper: uppers } = lines;
  let missing = 0;
  let lastValue = Number.NaN;
  let lastCentre = 0;
  let lastSigma = 1;
  let a0 = 0;
  let b0 = 0;
  let a1 = 0;
  let b1 = 0;
  let a2 = 0;
  let b2 = 0;
  let within = 0;
  let up = 0;
  let down = 0;
  for (let place = from; place < to; place += 1) {
    const value = values[place]!;
    const lower = typeof lowers === "number" ? lowers : lowers[place]!;
    const upper = typeof uppers === "number" ? uppers : uppers[place]!;
    const low = Number.isFinite(lower);
    const high = Number.isFinite(upper);
    let beyond = 0;
    const judged = Number.isFinite(value) && (low || high);
    if (judged) {
      const reach = SLACK * Math.max(Math.abs(value), low ? Math.abs(lower) : 0, high ? Math.abs(upper) : 0);
      beyond = +((high && value > upper + reach) || (low && value < lower - reach));
    }
    const centre = typeof centres === "number" ? centres : centres[place]!;
    const sigma = typeof sigmas === "number" ? sigmas : sigmas[place]!;
    if (!judged || !Number.isFinite(centre) || !Number.isFinite(sigma) || sigma <= 0) {
      out[place] = beyond;
      missing += 1;
      if (missing > MOST_MISSING) {
        lastValue = Number.NaN;
        a0 = b0 = a1 = b1 = a2 = b2 = within = up = down = 0;
      }
      continue;
    }
    missing = 0;
    const known = Number.isFinite(lastValue);
    const step = known ? directionOf(lastValue, lastCentre, lastSigma, value, centre, sigma) : 0;
    lastValue = value;
    lastCentre = centre;
    lastSigma = sigma;
    up = (up << 1) | +(step > 0);
    down = (down << 1) | +(step < 0);
    const on0 = SLACK * Math.max(Math.abs(value), Math.abs(centre));
    a0 = (a0 << 1) | +(value > centre + on0);
    b0 = (b0 << 1) | +(value < centre - on0);
    const lower1 = centre - NEAR_LINE * sigma;
    const upper1 = centre + NEAR_LINE * sigma;
    const on1 = SLACK * Math.max(Math.abs(value), Math.abs(lower1), Math.abs(upper1));
    a1 = (a1 << 1) | +(value > upper1 + on1);
    b1 = (b1 << 1) | +(value < lower1 - on1);
    within = (within << 1) | (+(lower1 + on1 < value) & +(value < upper1 - on1));
    const lower2 = centre - FAR_LINE * sigma;
    const upper2 = centre + FAR_LINE * sigma;
    const on2 = SLACK * Math.max(Math.abs(value), Math.abs(lower2), Math.abs(upper2));
    a2 = (a2 << 1) | +(value > upper2 + on2);
    b2 = (b2 << 1) | +(value < lower2 - on2);
    out[place] = beyond | bitsOf(a0, b0, a1, b1, a2, b2, within, up, down);
  }
}

/** Rules with a memory as bits, from the last points on each side of the lines, inside, and the last steps. */
function bitsOf(
  a0: number,
  b0: number,
  a1: number,
  b1: number,
  a2: number,
  b2: number,
  within: number,
  up: number,
  down: number,
): number {
  const u = up & TURNS;
  const d = down & TURNS;
  return (
    ((+((a0 & NINE) === NINE) | +((b0 & NINE) === NINE)) << 1) |
    ((+((up & STEPS) === STEPS) | +((down & STEPS) === STEPS)) << 2) |
    (((+(u === UP_FIRST) & +(d === DOWN_FIRST)) | (+(u === DOWN_FIRST) & +(d === UP_FIRST))) << 3) |
    ((FAR[a2 & FAR_MASK]! | FAR[b2 & FAR_MASK]!) << 4) |
    ((OFF[a1 & OFF_MASK]! | OFF[b1 & OFF_MASK]!) << 5) |
    (+((within & INSIDE) === INSIDE) << 6) |
    ((+(((a1 | b1) & OUTSIDE) === OUTSIDE) & +((a1 & OUTSIDE) !== 0) & +((b1 & OUTSIDE) !== 0)) << 7)
  );
}
