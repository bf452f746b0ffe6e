import { quantile } from "../stats/quantile.ts";

/** All but the tenth of the longest pauses count as the usual spacing. */
const USUAL = 0.9;

/**
 * Written spacing: how far apart neighbours of an imported history usually lie.
 *
 * @shape   end times of the runs in time order, milliseconds; the characteristic's own expected spacing
 * @unit    ms
 * @method  people write down fewer runs than there are, so neighbours on their sheet are neighbours; the larger of the
 *          expected spacing and the 0.9 quantile of the pauses. The gap rule then breaks only at unusual pauses
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/charts/written-spacing.test.ts
 */
export function writtenSpacing(timesMs: readonly number[], everyMs: number): number {
  const pauses = timesMs.slice(1).map((atMs, i) => atMs - timesMs[i]!);
  return pauses.length === 0 ? everyMs : Math.max(everyMs, quantile(pauses, USUAL));
}
