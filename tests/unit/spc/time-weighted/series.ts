import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { normals } from "../../../property/spc/seeded.ts";

/** AR(1) of unit variance with a share of it, and white noise with the rest. */
export function dependentSeries(n: number, phi: number, share: number, seed: number): number[] {
  const next = normals(seed);
  let level = next();
  return Array.from({ length: n }, () => {
    level = phi * level + Math.sqrt(1 - phi * phi) * next();
    return Math.sqrt(share) * level + Math.sqrt(1 - share) * next();
  });
}

/** The numbers of a chart's values, null for none. */
export function drawnValues(chart: DrawnChart): readonly (number | null)[] {
  return Array.from({ length: chart.values.length }, (_, i) => chart.values.at(i));
}

/** Every number that a chart shows is one: columns never give NaN or an infinity, and limits stand in order. */
export function faults(chart: DrawnChart): readonly string[] {
  const found: string[] = [];
  for (let i = 0; i < chart.values.length; i += 1) {
    const [lower, centre, upper] = [chart.lower.at(i), chart.centres.at(i), chart.upper.at(i)];
    for (const value of [chart.values.at(i), lower, centre, upper, chart.sigmas.at(i)]) {
      if (value !== null && !Number.isFinite(value)) found.push(`${chart.kind} ${i}: ${value}`);
    }
    if (lower !== null && upper !== null && !(lower < upper)) found.push(`${chart.kind} ${i}: ${lower} to ${upper}`);
    if (chart.refusal !== null && (lower ?? upper) !== null) found.push(`${chart.kind} ${i}: a line without a limit`);
  }
  return found;
}
