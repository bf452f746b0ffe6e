import { drawAveragesWithS } from "../../spc/drawn/averages-s.ts";
import { usualDesign } from "../../spc/model/chart-design.ts";
import type { Grouped } from "../../spc/model/grouped.ts";
import { seededNormals } from "../../spc/price/simulated-generator.ts";
import { ruleIds } from "../../spc/rules/rule-ids.ts";
import type { SignalColumn } from "../../spc/rules/signal-column.ts";
import { signalsOf } from "../../spc/rules/signals-of.ts";

const size = 5;

/** So many subgroups of five pour temperatures from a seed, with nothing wrong. */
export function pourSeries(count: number): Grouped {
  const next = seededNormals(20261125);
  const values = Float64Array.from({ length: count * size }, () => 750 + 4 * next());
  return { values, starts: Uint32Array.from({ length: count + 1 }, (_, i) => i * size), anew: [] };
}

/** Averages and standard deviations with their limits, and all eight rules on them. */
export function judged(data: Grouped): readonly SignalColumn[] {
  const design = usualDesign({ from: 0, to: data.starts.length - 1 });
  return drawAveragesWithS(data, design).charts.map((chart) => signalsOf(chart, ruleIds));
}

/** How many places any rule marks. */
export function marked(columns: readonly SignalColumn[]): number {
  return columns.reduce((sum, column) => {
    for (let place = 0; place < column.length; place += 1) sum += column.any(place) ? 1 : 0;
    return sum;
  }, 0);
}

/** Milliseconds that a piece of work took. */
export function timed(work: () => unknown): number {
  const begin = performance.now();
  work();
  return performance.now() - begin;
}
