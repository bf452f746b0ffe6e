import type { Reading } from "../features/readings.ts";
import type { HealthFinding } from "./finding.ts";
import { difference } from "./shown-words.ts";

export interface SpikePlan {
  /** Width of the instrument's range. */
  readonly span: number;
  readonly noise: number;
  readonly everyMs: number;
  readonly unit: string;
}

/** A spike leaves both neighbours by this share of the span, and by this many sigma. */
const leastShare = 0.04;
const leastSigma = 8;
/** One spike is a spark somewhere; that many in one run are a cable. Common practice, no source. */
const leastSpikes = 3;
const leastReadings = 20;

/**
 * Spikes: single readings far from both neighbours, which themselves agree.
 *
 * @shape   good readings of one run, in time order
 * @unit    that of the series
 * @method  |x - mean of its neighbours| above 4 % of the span and 8 sigma of the noise, neighbours closer to each other
 *          than half of that and no further off than 1.5 spacings: an edge or a ramp is none. Three or more in a run:
 *          `fault`. By noise alone a reading passes 8 sigma of 1.22 noise once in 1e10
 * @cost    O(n)
 * @source  derived here; 4 % and three in a run are common practice, no source
 * @checked tests/unit/spc/health/run-checks.test.ts, tests/property/spc/health/run-checks.test.ts
 */
export function spikesIn(readings: readonly Reading[], plan: SpikePlan): HealthFinding | null {
  if (readings.length < leastReadings) return null;
  const least = Math.max(leastShare * plan.span, leastSigma * plan.noise * Math.sqrt(1.5));
  const found: number[] = [];
  for (let i = 1; i + 1 < readings.length; i += 1) {
    const height = spikeAt(readings[i - 1]!, readings[i]!, readings[i + 1]!, least, plan.everyMs);
    if (height !== 0) found.push(height);
  }
  const highest = found.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
  const counted =
    found.length === 0
      ? `no spike in ${readings.length} readings`
      : `${found.length} of ${readings.length} readings left both neighbours by up to ${difference(highest, plan.unit)}`;
  return { check: "spikes", verdict: found.length >= leastSpikes ? "fault" : "well", says: counted };
}

/** How far the middle one stands out; 0 where it is no spike. */
function spikeAt(before: Reading, at: Reading, after: Reading, least: number, everyMs: number): number {
  if (after.tMs - before.tMs > 3 * everyMs) return 0;
  if (Math.abs(after.value - before.value) > least / 2) return 0;
  const height = at.value - (before.value + after.value) / 2;
  return Math.abs(height) > least ? height : 0;
}
