import { normalCdf, normalDensity, normalQuantile } from "../library/normal.ts";
import { tCdf } from "../library/students-t.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import { ok, refuse } from "../model/outcome.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { movingRangesOf } from "../sigma/moving-ranges.ts";
import { subgroupAverages, subgroupSizes } from "../sigma/subgroup-moments.ts";
import { checkCorrections } from "./ewma-beside.ts";
import { countThere, drawnChart, evenLines, refusedCharts, seriesOf } from "./lines.ts";
import { movingRangeLines } from "./spread-lines.ts";

/** Least chance that a tail can hold in double precision: about 37 sigma out. */
const LEAST_CHANCE = 1e-300;
/** Distances whose squares can still be computed with. */
const FARTHEST = 1e100;
/** Spread below this share of the level lies in the last bits of the numbers. */
const LAST_BITS = 1e-12;

/**
 * Q chart: a self-starting chart for a new part, which needs no baseline and judges from the third point on.
 *
 * @shape   single values, or averages of subgroups of one size, in time order; the design, whose baseline is of no account;
 *          places before which a cause was corrected and the chart starts again
 * @unit    dimensionless: standard normal values while nothing changes
 * @method  Q_t = F^-1(G_{t-2}(sqrt((t - 1) / t) (x_t - mean before) / s before)), F of the normal, G of Student's t. A
 *          given centre or sigma takes the place of its estimate: t with one degree more, or none at all. Limits 0 +- k;
 *          moving ranges of Q beside it. A shift within the first points is taken in and never shows
 * @refuses unequal-sizes for subgroups of several sizes: then the charts stand without points
 * @throws  RangeError for a design or correction that cannot be meant, or a value that is no number: a defect in the caller
 * @cost    O(n), one incomplete beta function a point: meant for short runs
 * @source  Quesenberry 1991, Journal of Quality Technology 23:213-224 (from memory)
 * @checked tests/unit/spc/short-run/q.test.ts
 */
export function drawQ(
  data: Grouped,
  design: ChartDesign,
  options: { readonly corrections?: readonly number[] } = {},
): DrawnCharts {
  const count = subgroupCount(data);
  checkDesign(design, count);
  const corrections = checkCorrections(options.corrections ?? [], count);
  const { smallest, largest } = subgroupSizes(data.starts);
  const alike = smallest === largest;
  const points = subgroupAverages(data);
  const q = alike ? scores(points, design, Math.max(1, largest), corrections) : points.map(() => Number.NaN);
  const location = seriesOf("q", q, "all", data.anew);
  const spread = seriesOf("moving-range", movingRangesOf(q, data.anew), "limit", data.anew);
  if (!alike) {
    const detail = `subgroups need one size, there are ${smallest} to ${largest}`;
    return refusedCharts(
      [location, spread],
      design,
      refuse("unequal-sizes", detail, { needs: largest, has: smallest }).refusal,
    );
  }
  const [own, between] = [location, spread].map(({ values }) => countThere(values, { from: 0, to: count }));
  return {
    charts: [
      drawnChart(location, design, "self-starting", own!, ok(evenLines(0, 1, design.k))),
      drawnChart(spread, design, "self-starting", between!, movingRangeLines(1, design)),
    ],
    sigmaWithin: null,
    dfWithin: null,
    cautions: [],
  };
}

function scores(points: Float64Array, design: ChartDesign, size: number, corrections: readonly number[]): Float64Array {
  const { centre } = design;
  const sigma = design.sigma === null ? null : design.sigma / Math.sqrt(size);
  const q = new Float64Array(points.length).fill(Number.NaN);
  // Differences from the first point, so that a high level costs no digits.
  let [seen, first, mean, squares] = [0, 0, 0, 0];
  let next = 0;
  points.forEach((point, i) => {
    if (corrections[next] === i) {
      next += 1;
      seen = 0;
    }
    if (!Number.isFinite(point)) return;
    if (seen === 0) [first, mean, squares] = [centre ?? point, 0, 0];
    const off = point - first;
    const df = seen - (centre === null ? 1 : 0);
    // With a known centre, how far points lie from it; else from their own mean.
    const spread = sigma ?? (df >= 1 ? Math.sqrt(squares / df) : 0);
    // Squares that left the range of numbers say nothing any more.
    const enough = (centre !== null || seen >= 1) && Number.isFinite(spread);
    if (enough && (sigma !== null || spread > LAST_BITS * Math.abs(first))) {
      const distance = centre === null ? (off - mean) * Math.sqrt(seen / (seen + 1)) : off;
      q[i] = sigma === null ? scoreOf(distance / spread, df) : distance / spread;
    }
    seen += 1;
    if (centre === null) {
      const step = off - mean;
      mean += step / seen;
      squares += step * (off - mean);
    } else squares += off * off;
  });
  return q;
}

/** The standard normal value with the same chance below it; both tails by the lower one, where digits are kept. */
function scoreOf(t: number, df: number): number {
  if (!Number.isFinite(t)) return Number.NaN;
  if (t === 0) return 0;
  const below = Math.max(LEAST_CHANCE, Math.min(0.5, tCdf(-Math.min(FARTHEST, Math.abs(t)), df)));
  const score = below < 1e-8 ? farQuantile(below) : normalQuantile(below);
  return t < 0 ? score : -score;
}

/** Where the library's quantile loses its digits and then ends: Newton on the logarithm of the tail, which is near a parabola. */
function farQuantile(p: number): number {
  const wanted = Math.log(p);
  let z = -Math.sqrt(-2 * wanted);
  for (let round = 0; round < 8; round += 1) {
    const tail = normalCdf(z);
    z -= ((Math.log(tail) - wanted) * tail) / normalDensity(z);
  }
  return z;
}
