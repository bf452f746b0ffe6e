import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import { leastSquaresLine, type Pair, scatterAboutLine } from "../stats/line.ts";
import { median } from "../stats/quantile.ts";
import { goodReadings, type Reading, spacingOf } from "./readings.ts";

/** Below it nothing that is dipped into is metal. */
const leastCel = 400;
/** A plateau: a second in which the tip neither rises nor falls by more than this, and lies about its line. */
const steady = { ms: 1000, kelvinPerSecond: 2, scatterK: 3 };

/**
 * Temperature of the metal that a disposable tip was dipped into: its plateau, never its maximum, for a tip that was lifted too
 * early has a maximum as well.
 *
 * @shape   role `dip`: the trace of one dip inside the run, 5 readings a second or more
 * @unit    Cel, and when
 * @method  of all whole seconds in which the line of least squares stays within 2 K/s, the scatter about it within 3 K and
 *          all lies above 400 Cel: the hottest, and the median of its readings; the tip approaches from below. Five equal readings
 *          that it had been far from half a second before are a frozen instrument, or the end of its range
 * @refuses `role-missing`; `no-reading` without a dip in the run; `no-plateau` when no second is steady
 * @cost    O(n) for a spacing that stands
 * @source  2 K/s for 1 s: common practice, no source; a tip of time constant tau is then short by 2 tau K at most
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function dipPlateau(trace: RunTrace): Outcome<Reading> {
  const every = spacingOf(trace, "dip");
  if (!every.ok) return every;
  const { startMs, endMs } = trace.run;
  const readings = goodReadings(trace, "dip").filter(({ tMs }) => startMs <= tMs && tMs < endMs);
  if (readings.length === 0) return refuse("no-reading", "nothing was dipped in the run");
  const frozen = frozenIn(readings);
  const least = Math.max(5, Math.floor((0.9 * steady.ms) / every.value));
  let best: Reading | null = null;
  let to = 0;
  for (const [i, first] of readings.entries()) {
    while (to < readings.length && readings[to]!.tMs <= first.tMs + steady.ms) to += 1;
    const second = readings.slice(i, to);
    if (second.length < least || second.at(-1)!.tMs - first.tMs < steady.ms - every.value) continue;
    if (frozen.some(({ fromMs, toMs }) => fromMs <= second.at(-1)!.tMs && first.tMs <= toMs)) continue;
    const level = levelOf(second);
    if (level !== null && (best === null || level > best.value))
      best = { tMs: second[second.length >> 1]!.tMs, value: level };
  }
  if (best !== null) return ok(best);
  return refuse(
    "no-plateau",
    "the tip was never steady for a second: its highest reading is no temperature of the metal",
  );
}

/** Five equal readings or more that a moving tip cannot have come to: half a second earlier it was far off. */
function frozenIn(readings: readonly Reading[]): readonly { readonly fromMs: number; readonly toMs: number }[] {
  const step =
    [1, 0.1, 0.01].find((of) => readings.every(({ value }) => Math.abs(value / of - Math.round(value / of)) < 1e-6)) ??
    0;
  const found: { fromMs: number; toMs: number }[] = [];
  let from = 0;
  let since = 0;
  for (let i = 1; i <= readings.length; i += 1) {
    if (i < readings.length && readings[i]!.value === readings[from]!.value) continue;
    const at = readings[from]!;
    while (readings[since]!.tMs < at.tMs - 500) since += 1;
    const earlier = readings.slice(since, from);
    const jumped = earlier.some(({ value }) => Math.abs(value - at.value) > 4 * step);
    if (i - from >= 5 && (jumped || earlier.length === 0)) found.push({ fromMs: at.tMs, toMs: readings[i - 1]!.tMs });
    from = i;
  }
  return found;
}

function levelOf(second: readonly Reading[]): number | null {
  const values = second.map(({ value }) => value);
  if (values.some((value) => value < leastCel)) return null;
  const points = second.map(({ tMs, value }): Pair => [(tMs - second[0]!.tMs) / 1000, value]);
  const line = leastSquaresLine(points);
  const scatter = scatterAboutLine(points);
  if (!line.ok || !scatter.ok) return null;
  const isSteady = Math.abs(line.value.slope) < steady.kelvinPerSecond && scatter.value < steady.scatterK;
  return isSteady ? median(values) : null;
}
