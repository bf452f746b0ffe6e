import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import { quantile } from "../stats/quantile.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/** The rate is taken over so long to either side: a scale's noise over less looks like flow. Our own choice. */
const halfMs = 200;
/** Less than this share of the full rate is no flow; less than half a second of it is no gap. */
const leastShare = 0.1;
const leastGapMs = 500;
/** No pour rises so many times faster than its full rate from one reading to the next. Our own choice. */
const leastJump = 3.5;

/** How the metal flowed. */
export interface PourFlow {
  readonly flowS: number;
  readonly kg: number;
  /** Time without flow between the first and the last of it, and how often. */
  readonly gapS: number;
  readonly gaps: number;
}

/**
 * How metal flowed in a pour, from what the scale says of it.
 *
 * @shape   role `mass`: poured so far, in kg, rising
 * @unit    s, kg
 * @method  rate: slope over 0.2 s to either side; full rate: its 90th percentile; flow from the first to the last rate above
 *          a tenth of it; gaps: longer than half a second below, with the 0.16 s by which the slope narrows either edge;
 *          mass: last reading minus first
 * @refuses those of `wholeRun` and `coveredReadings`; `no-flow` when the mass hardly rose; `signal-jumped` when it rose
 *          at once by what it had stood still for; `hole-at-crossing` where so much is
 *          missing at once that a gap could hide
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/pour-more.test.ts
 */
export function pourFlow(trace: RunTrace): Outcome<PourFlow> {
  const every = spacingOf(trace, "mass");
  if (!every.ok) return every;
  const pour = wholeRun(trace.run);
  if (!pour.ok) return pour;
  const found = coveredReadings(trace, "mass", pour.value);
  if (!found.ok) return found;
  const readings = found.value;
  const rates: { readonly tMs: number; readonly rate: number }[] = [];
  for (const [i, { tMs }] of readings.entries()) {
    const next = readings[i + 1];
    if (next !== undefined && next.tMs - tMs > leastGapMs + every.value) {
      return refuse("hole-at-crossing", `the scale is missing for ${next.tMs - tMs} ms, in which a gap could hide`);
    }
    const near = readings.filter((one) => Math.abs(one.tMs - tMs) <= halfMs);
    const [first, last] = [near[0]!, near.at(-1)!];
    if (last.tMs > first.tMs) rates.push({ tMs, rate: (1000 * (last.value - first.value)) / (last.tMs - first.tMs) });
  }
  if (rates.length === 0) return refuse("no-flow", "the scale tells no rate");
  const full = quantile(
    rates.map(({ rate }) => rate),
    0.9,
  );
  const kg = readings.at(-1)!.value - readings[0]!.value;
  // One rate alone above or below is the scale's noise, and neither flow nor gap.
  const flows = rates.map(({ rate }) => rate > leastShare * full);
  for (const [i, { tMs, value }] of readings.entries()) {
    const before = readings[i - 1];
    if (before === undefined || !(full > 0)) continue;
    const atMost = (leastJump * full * (tMs - before.tMs)) / 1000;
    if (value - before.value > atMost && value - before.value > 0.02 * kg) {
      return refuse(
        "signal-jumped",
        "the scale stood still and caught up at once: it was frozen, or the metal was spilt",
      );
    }
  }
  const flowing = rates.flatMap(({ tMs }, i) => {
    const beside = [flows[i - 1] ?? flows[i]!, flows[i]!, flows[i + 1] ?? flows[i]!];
    return beside.filter((flow) => flow).length >= 2 ? [{ tMs, i }] : [];
  });
  const [from, to] = [flowing[0], flowing.at(-1)];
  if (from === undefined || to === undefined || !(full > 0) || !(kg > 0)) {
    return refuse("no-flow", "the poured mass hardly rose");
  }
  let [gapMs, gaps] = [0, 0];
  for (const [n, { tMs, i }] of flowing.entries()) {
    const before = flowing[n - 1];
    // Neighbours with nothing between them are no gap, however far apart: what lies between was not measured.
    if (before === undefined || i - before.i < 2) continue;
    const stillMs = tMs - before.tMs - every.value + 2 * halfMs * (1 - 2 * leastShare);
    if (stillMs <= leastGapMs) continue;
    gapMs += stillMs;
    gaps += 1;
  }
  return ok({ flowS: (to.tMs - from.tMs) / 1000, kg, gapS: gapMs / 1000, gaps });
}
