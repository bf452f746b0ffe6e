import type { Reading } from "../features/readings.ts";
import { median } from "../stats/quantile.ts";
import type { HealthFinding } from "./finding.ts";
import { figure } from "./shown-words.ts";

export interface ShortedInput {
  readonly readings: readonly Reading[];
  /** Each peer in the same heat, over the same time. */
  readonly peers: readonly (readonly Reading[])[];
  /** Temperature where its cable ends: of the hall, when nothing nearer is measured. */
  readonly ambientCel: number;
}

/** A thermocouple shorted at its terminals reads the terminals: no more than this from them, and no less from its peers. */
const nearAmbientK = 8;
const farFromPeersK = 15;
const leastReadings = 10;

/**
 * Short circuit of a thermocouple: shorted near its terminals it reads the terminals, however hot its tip is.
 *
 * @shape   readings of one stretch of time, and of its peers
 * @unit    Cel
 * @method  median within 8 K of the ambient temperature while the median of every peer lies 15 K or more above it: `fault`.
 *          With no peer a cold tip reads alike: `undecided` where it lies near ambient, and nothing is said of a tip that
 *          does not. Peers that are cold too say `well`. 15 K at a peer noise of 1 K is never chance
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/health/shorted-thermocouple.test.ts
 */
export function shortedThermocouple({ readings, peers, ambientCel }: ShortedInput): HealthFinding | null {
  if (readings.length < leastReadings) return null;
  const check = "short-circuit";
  const own = median(readings.map(({ value }) => value));
  const near = Math.abs(own - ambientCel) <= nearAmbientK;
  const others = peers.filter((one) => one.length >= leastReadings).map((one) => median(one.map(({ value }) => value)));
  const says = `reads ${figure(own, "Cel")} with ${figure(ambientCel, "Cel")} round its terminals`;
  if (others.length === 0) {
    if (!near) return null;
    return { check, verdict: "undecided", says: `${says}, and no peer tells whether its tip is cold` };
  }
  const coldest = Math.min(...others);
  if (near && coldest - ambientCel >= farFromPeersK && coldest - own >= farFromPeersK) {
    return { check, verdict: "fault", says: `${says} while its peers read ${figure(coldest, "Cel")} or more` };
  }
  return { check, verdict: "well", says: `reads ${figure(own, "Cel")}, its peers ${figure(coldest, "Cel")} or more` };
}
