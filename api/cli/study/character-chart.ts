import { type Bin, binsOf, placesEach } from "../../../dashboard/marks/drawn-chart/bins.ts";
import { decimalsFor, figure } from "../../../dashboard/marks/drawn-chart/figures.ts";
import type { StudiedChart } from "../../../spc/study/result.ts";
import { kindWords } from "./form-words.ts";

/** How to set off a point that signals; nothing where the terminal shows no colours. */
export type Emphasis = (text: string) => string;

export interface CharacterSize {
  /** Of the whole drawing, labels included. */
  readonly columns: number;
  readonly rows: number;
}

const outside = "#";
const pattern = "@";
const point = "o";
const limitLine = "-";
const centreLine = ".";

/** A chart drawn in characters, top line first: limits, centre, points, and those that signal. */
export function characterChart(studied: StudiedChart, size: CharacterSize, emphasis: Emphasis): readonly string[] {
  const { chart, signals } = studied;
  const n = chart.values.length;
  const probe = binsOf(chart, signals, size.columns - 24);
  const [low, high] = extentOf(probe);
  const decimals = decimalsFor(low, high);
  const label = (value: number): string => figure(value, decimals).replaceAll("\u2212", "-");
  const left = Math.max(label(low).length, label(high).length) + 1;
  const right = 9;
  const width = size.columns - left - right - 2;
  const each = placesEach(n, width);
  const bins = binsOf(chart, signals, width);
  const stretch = Math.max(1, Math.min(3, Math.floor(width / Math.max(1, bins.length))));
  const used = bins.length * stretch;
  // Halved first: the range of two doubles may be more than a double holds.
  const share = (value: number): number => (high / 2 - value / 2) / (high / 2 - low / 2);
  const row = (value: number): number => Math.round(share(value) * (size.rows - 1));
  const grid = Array.from({ length: size.rows }, () => Array.from({ length: used }, () => " "));
  const put = (r: number, column: number, sign: string): void => {
    const line = grid[r];
    if (line !== undefined && column < used) line[column] = sign;
  };
  bins.forEach((bin, at) => {
    if (each > 1 && bin.low !== null && bin.high !== null) {
      for (let r = row(bin.high); r <= row(bin.low); r++) put(r, at * stretch, ":");
    }
    for (let column = at * stretch; column < (at + 1) * stretch; column++) {
      if (bin.centre !== null) put(row(bin.centre), column, centreLine);
      for (const limit of [bin.lower, bin.upper]) if (limit !== null) put(row(limit), column, limitLine);
    }
    for (const value of [bin.high, bin.low]) if (value !== null) put(row(value), at * stretch, point);
    if (bin.marked === null) return;
    const sign = bin.marked.out ? outside : pattern;
    for (const value of [bin.marked.low, bin.marked.high]) put(row(value), at * stretch, sign);
  });
  const last = bins.at(-1);
  const names = edgeNames(last, row);
  const lines = grid.map((cells, r) => {
    const tick = r === 0 ? label(high) : r === size.rows - 1 ? label(low) : "";
    const line = cells.join("").replace(/[#@]+/g, (run) => emphasis(run));
    return `${tick.padStart(left)}|${line} ${names.get(r) ?? ""}`.trimEnd();
  });
  const foot = String(n - 1);
  const axis = `${" ".repeat(left)}+${"0".padEnd(Math.max(1, used - foot.length), " ")}${n > 1 && used > foot.length ? foot : ""}`;
  const binned =
    each > 1 ? [`${" ".repeat(left + 1)}each column holds up to ${each} points, from least to greatest`] : [];
  return [kindWords(chart.kind), ...lines, axis, ...binned];
}

/** What the signs mean, on one line. */
export const characterKey: string = `${point} point   ${outside} beyond a limit   ${pattern} completes a pattern   ${limitLine.repeat(3)} limit   ${centreLine.repeat(3)} centre`;

function edgeNames(last: Bin | undefined, row: (value: number) => number): ReadonlyMap<number, string> {
  const names = new Map<number, string>();
  for (const [value, name] of [
    [last?.centre, "centre"],
    [last?.lower, "lower"],
    [last?.upper, "upper"],
  ] as const) {
    if (value != null) names.set(row(value), name);
  }
  return names;
}

function extentOf(bins: readonly Bin[]): readonly [number, number] {
  const all = bins
    .flatMap(({ low, high, lower, upper, centre }) => [low, high, lower, upper, centre])
    .filter((value) => value !== null);
  const [low, high] = [Math.min(...all), Math.max(...all)];
  if (all.length === 0) return [0, 1];
  if (low === high) return [low - Math.max(1e-12, Math.abs(low) * 0.01), high + Math.max(1e-12, Math.abs(high) * 0.01)];
  return [low, high];
}
