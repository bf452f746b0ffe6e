import { scaleLinear } from "d3-scale";
import { area, line } from "d3-shape";
import type { DrawnChart } from "../../../spc/model/drawn-chart.ts";
import type { SignalColumn } from "../../../spc/rules/signal-column.ts";
import { hatchPath } from "../hatch.ts";
import { type Bin, binsOf, placesEach } from "./bins.ts";
import { decimalsFor, figure } from "./figures.ts";

/** One chart as paths, in pixels of its own panel. */
export interface ChartPicture {
  readonly width: number;
  readonly height: number;
  /** The statistic from place to place, broken where there is none. */
  readonly path: string;
  /** Where a column holds several places: from the least to the greatest of each. Empty otherwise. */
  readonly extremes: string;
  readonly dots: readonly { readonly x: number; readonly y: number }[];
  readonly marks: readonly { readonly x: number; readonly y: number; readonly out: boolean }[];
  readonly lower: string;
  readonly upper: string;
  readonly centre: string;
  /** Hatched where nothing is known. */
  readonly gaps: string;
  readonly ticks: readonly { readonly y: number; readonly text: string }[];
  readonly edges: readonly { readonly y: number; readonly text: string; readonly word: string }[];
  readonly places: readonly { readonly x: number; readonly text: string }[];
  /** Places that one column holds. */
  readonly each: number;
}

const pad = 8;
/** Dots closer together than this could not be told apart. */
const closest = 3;

export function chartPicture(
  chart: DrawnChart,
  signals: SignalColumn,
  size: { readonly width: number; readonly height: number },
): ChartPicture {
  const { width, height } = size;
  const most = Math.max(1, Math.floor((width - 2 * pad) / closest));
  const bins = binsOf(chart, signals, most);
  const each = placesEach(chart.values.length, most);
  const step = (width - 2 * pad) / Math.max(1, bins.length);
  const x = (at: number): number => pad + (at + 0.5) * step;
  const [low, high] = extent(bins);
  // The range of two doubles may be more than a double holds: then an eighth of all is drawn, to the same picture.
  const part = high - low < Number.MAX_VALUE / 8 ? 1 : 8;
  const air = low < high ? (high / part - low / part) * 0.06 : Math.max(Math.abs(high) / part, 1e-12) * 0.5;
  const scale = scaleLinear()
    .domain([low / part - air, high / part + air])
    .range([height, 0]);
  const y = (value: number): number => scale(value / part);
  const decimals = decimalsFor(low, high);
  const path = line<Bin>(
    (_, at) => x(at),
    (bin) => y(bin.low!),
  )
    .defined((bin) => bin.low !== null)
    .digits(1);
  const extremes = area<Bin>(
    (_, at) => x(at),
    (bin) => y(bin.low!),
    (bin) => y(bin.high!),
  )
    .defined((bin) => bin.low !== null)
    .digits(1);
  const several = each > 1;
  return {
    width,
    height,
    path: several ? "" : (path(bins as Bin[]) ?? ""),
    extremes: several ? (extremes(bins as Bin[]) ?? "") : "",
    dots: several
      ? []
      : bins.flatMap((bin, at) => (bin.low === null || bin.marked ? [] : [{ x: x(at), y: y(bin.low) }])),
    marks: bins.flatMap(({ marked }, at) => {
      if (marked === null) return [];
      const ends = marked.low === marked.high ? [marked.low] : [marked.low, marked.high];
      return ends.map((value) => ({ x: x(at), y: y(value), out: marked.out }));
    }),
    lower: stairs(bins.map((bin) => bin.lower)),
    upper: stairs(bins.map((bin) => bin.upper)),
    centre: stairs(bins.map((bin) => bin.centre)),
    gaps: bins
      .flatMap((bin, at) => (bin.low === null ? [hatchPath(x(at) - step / 2, x(at) + step / 2, 0, height)] : []))
      .join(""),
    ticks: scale
      .ticks(Math.max(2, Math.floor(height / 45)))
      .map((tick) => ({ y: scale(tick), text: figure(tick * part, Math.max(0, decimals - 1)) })),
    edges: edges(),
    places: placeTicks(chart.values.length, width).map((place) => ({ x: x(place / each), text: String(place) })),
    each,
  };

  /** A line that may stand elsewhere at each column, upright between them, and nowhere where there is none. */
  function stairs(values: readonly (number | null)[]): string {
    let d = "";
    let before: number | null = null;
    values.forEach((value, at) => {
      if (value !== null && value !== before) {
        const [from, level] = [(x(at) - step / 2).toFixed(1), y(value).toFixed(1)];
        d += before === null ? `M${from},${level}` : `H${from}V${level}`;
      }
      if (before !== null && value === null) d += `H${(x(at) - step / 2).toFixed(1)}`;
      before = value;
    });
    return before === null ? d : `${d}H${(x(values.length - 1) + step / 2).toFixed(1)}`;
  }

  function edges(): ChartPicture["edges"] {
    const last = bins.at(-1);
    const named = [
      { value: last?.upper ?? null, word: "upper" },
      { value: last?.centre ?? null, word: "centre" },
      { value: last?.lower ?? null, word: "lower" },
    ];
    return named.flatMap(({ value, word }) =>
      value === null ? [] : [{ y: y(value), text: figure(value, decimals), word }],
    );
  }
}

/** From the least to the greatest of values and lines. */
function extent(bins: readonly Bin[]): readonly [number, number] {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const bin of bins) {
    for (const value of [bin.low, bin.high, bin.lower, bin.upper, bin.centre]) {
      if (value === null) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  return low > high ? [0, 1] : [low, high];
}

function placeTicks(n: number, width: number): readonly number[] {
  if (n < 2) return n === 1 ? [0] : [];
  return scaleLinear()
    .domain([0, n - 1])
    .ticks(Math.max(2, Math.floor(width / 90)))
    .filter((place) => Number.isInteger(place));
}
