import { line } from "d3-shape";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../api/contract/wire.ts";
import { ringLabel } from "./flag-words.ts";
import { breaks, stretches } from "./gaps.ts";
import { figure } from "./numbers.ts";
import { type Ruler, ruler, type Span, spanOf } from "./ruler.ts";
import { signalParts } from "./signal-id.ts";
import { hatchBetween } from "./strip.ts";
import { patternRow } from "./why.ts";

/** One panel of the pair, in pixels of its own height. */
export interface ChartPanel {
  readonly height: number;
  readonly path: string;
  readonly dots: readonly ChartDot[];
  /** Lines as they ruled, set by set. */
  readonly phases: readonly ChartPhase[];
  readonly ticks: readonly { readonly y: number; readonly text: string }[];
  readonly specification: readonly SpecificationLine[];
}

export interface ChartDot {
  readonly index: number;
  readonly run: string;
  readonly x: number;
  readonly y: number;
  readonly value: number;
  readonly text: string;
  readonly imported: boolean;
  /** Held at the edge; its value is printed there where there is room. */
  readonly beyond: boolean;
  readonly printed: boolean;
  readonly ring: { readonly label: WireFlag["label"]; readonly number: ChartNumber | null } | null;
  readonly used: boolean;
}

/** A flag's number, written once, beside the newest of its rings and clear of the others. */
export interface ChartNumber {
  readonly text: string;
  readonly x: number;
  readonly y: number;
}

export interface ChartPhase {
  readonly limitSet: string;
  /** False over imported points: the lines are drawn there to compare by, they never judged them. */
  readonly ruled: boolean;
  readonly from: number;
  readonly to: number;
  readonly upper: { readonly y: number; readonly text: string } | null;
  readonly lower: { readonly y: number; readonly text: string } | null;
  readonly centre: { readonly y: number; readonly text: string } | null;
}

export interface SpecificationLine {
  readonly y: number;
  readonly text: string;
  /** The line lies beyond the picture and only its number is written. */
  readonly beyond: "above" | "below" | null;
}

export interface ChartGap {
  readonly from: number;
  readonly to: number;
  readonly reason: string;
  /** Whether there is room to write the reason under the hatch. */
  readonly says: boolean;
}

export interface ChartBracket {
  readonly from: number;
  readonly to: number;
  readonly y: number;
  readonly below: boolean;
  readonly text: string;
}

export interface ChartPair {
  readonly width: number;
  readonly location: ChartPanel;
  readonly spread: ChartPanel;
  readonly gaps: readonly ChartGap[];
  readonly brackets: readonly ChartBracket[];
  readonly importedTo: number | null;
  readonly x: (index: number) => number;
}

export interface ChartSize {
  readonly width: number;
  readonly locationHeight: number;
  readonly spreadHeight: number;
}

type Panel = "location" | "spread";

/** Width of a letter of the smallest text, for keeping words apart. */
const letter = 6.5;

export function chartPair(
  characteristic: WireCharacteristic,
  points: readonly WirePoint[],
  flags: ReadonlyMap<string, WireFlag>,
  used: ReadonlySet<string>,
  size: ChartSize,
): ChartPair {
  const pad = 8;
  const step = (size.width - 2 * pad) / Math.max(1, points.length - 1);
  const x = (index: number): number => (points.length === 1 ? size.width / 2 : pad + index * step);
  const lines = characteristic.limits;
  const upper = ruler(lines?.location ?? valueSpan(points, "location"), size.locationHeight);
  const lower = spreadRuler(lines?.spread ?? valueSpan(points, "spread"), size.spreadHeight);
  const lastImported = points.findLastIndex((point) => point.imported);
  return {
    width: size.width,
    location: panel("location", upper, size.locationHeight),
    spread: panel("spread", lower, size.spreadHeight),
    gaps: gapsOf(points, x, step),
    brackets: bracketsOf(points, x, upper, size.locationHeight),
    importedTo: lastImported < 0 ? null : x(lastImported),
    x,
  };

  function panel(which: Panel, scale: Ruler, height: number): ChartPanel {
    const draw = line<number>(x, (index) => scale.y(points[index]![which].value!)).digits(1);
    return {
      height,
      path: stretches(points)
        .map((indices) => draw(indices.filter((index) => points[index]![which].value !== null)) ?? "")
        .join(""),
      dots: withRoom(
        points.flatMap((point, index) => dotOf(which, point, index, scale)),
        scale,
      ),
      phases: phasesOf(points, which, x, scale, characteristic.digits, step),
      ticks: ticksOf(scale, characteristic.digits, height),
      specification: which === "location" ? specificationLines(characteristic, scale) : [],
    };
  }

  function dotOf(which: Panel, point: WirePoint, index: number, scale: Ruler): readonly ChartDot[] {
    const value = point[which].value;
    if (value === null) return [];
    const flag = point.flag === null ? undefined : flags.get(point.flag);
    const here = signalsOn(point, which);
    const named = flag !== undefined && index === numbered(which, flag.id);
    const number = named ? numberPlace(which, index, scale, `flag ${flag.number}`) : null;
    return [
      {
        index,
        run: point.run,
        x: x(index),
        y: scale.y(value),
        value,
        text: figure(value, characteristic.digits),
        imported: point.imported,
        beyond: scale.beyond(value),
        printed: scale.beyond(value),
        ring: here ? { label: ringLabel(flag), number } : null,
        used: which === "location" && used.has(point.run),
      },
    ];
  }

  /** Where a flag's number stands: at its newest ring above, or below when it has none above. */
  function numbered(which: Panel, id: string): number {
    const above = points.findLastIndex((point) => point.flag === id && signalsOn(point, "location"));
    if (which === "location") return above;
    return above >= 0 ? -1 : points.findLastIndex((point) => point.flag === id && signalsOn(point, "spread"));
  }

  function numberPlace(which: Panel, index: number, scale: Ruler, text: string): ChartNumber {
    const here = scale.y(points[index]![which].value!);
    // At the edge the value itself stands there, so the number goes to the left of all rings held there with it.
    if (scale.beyond(points[index]![which].value!)) {
      let first = index;
      while (points[first - 1] !== undefined && x(index) - x(first - 1) < 60 && atEdge(points[first - 1]!)) first--;
      return { text, x: x(first) - 11, y: here + 4 };
    }
    const near = points.flatMap((point, at) => {
      const value = point[which].value;
      return value !== null && x(at) > x(index) - 60 && x(at) < x(index) + 16 ? [scale.y(value)] : [];
    });
    const above = Math.min(...near) - 12;
    return { text, x: x(index) + 8, y: above > 10 ? above : Math.max(...near) + 22 };

    function atEdge(point: WirePoint): boolean {
      const { value } = point[which];
      return value !== null && scale.beyond(value);
    }
  }
}

function signalsOn(point: WirePoint, which: Panel): boolean {
  return point.signals.some((id) => (signalParts(id)?.on === "spread") === (which === "spread"));
}

/** Of values printed at an edge that would overlap, the farthest out keeps its print; the table has them all. */
function withRoom(dots: readonly ChartDot[], scale: Ruler): readonly ChartDot[] {
  const kept: ChartDot[] = [];
  const size = (dot: ChartDot): number => Math.abs(dot.value - (scale.domain[0] + scale.domain[1]) / 2);
  for (const dot of dots.filter((one) => one.beyond).sort((a, b) => size(b) - size(a))) {
    const room = dot.text.length * letter + 4;
    if (kept.every((one) => one.y !== dot.y || Math.abs(one.x - dot.x) > room)) kept.push(dot);
  }
  const printed = new Set(kept.map((dot) => dot.index));
  return dots.map((dot) => (dot.beyond ? { ...dot, printed: printed.has(dot.index) } : dot));
}

/** Ranges start at nought: the lower edge is nought, and the limit stands at 20 % of the height as everywhere. */
function spreadRuler(span: Span, height: number): Ruler {
  const top = Math.max(span.upper, Number.MIN_VALUE);
  return ruler({ lower: top / 4, upper: top }, height);
}

function valueSpan(points: readonly WirePoint[], which: Panel): Span {
  return spanOf(points.map((point) => point[which].value)) ?? { lower: 0, upper: 1 };
}

type Hatch = Omit<ChartGap, "says">;

function gapsOf(points: readonly WirePoint[], x: (index: number) => number, step: number): readonly ChartGap[] {
  const missing = points.flatMap((point, index): readonly Hatch[] =>
    point.location.value !== null
      ? []
      : [{ from: x(index) - step / 2, to: x(index) + step / 2, reason: point.refusal?.detail ?? "no value" }],
  );
  const silent = breaks(points).flatMap((one): readonly Hatch[] =>
    one.reason === "" ? [] : [{ ...hatchBetween(x(one.at - 1), x(one.at)), reason: one.reason }],
  );
  return withWords(joined([...missing, ...silent].sort((a, b) => a.from - b.from)));
}

/** Neighbouring gaps of one reason are one hatch. */
function joined(gaps: readonly Hatch[]): readonly Hatch[] {
  const out: Hatch[] = [];
  for (const gap of gaps) {
    const last = out.at(-1);
    if (last !== undefined && last.reason === gap.reason && gap.from <= last.to + 0.5)
      out[out.length - 1] = { ...last, to: gap.to };
    else out.push(gap);
  }
  return out;
}

/** The newest gaps have their reasons written, older ones where there is room left. */
function withWords(gaps: readonly Hatch[]): readonly ChartGap[] {
  let free = Number.POSITIVE_INFINITY;
  return gaps
    .toReversed()
    .map((gap): ChartGap => {
      const middle = (gap.from + gap.to) / 2;
      const half = (gap.reason.length * letter) / 2;
      const says = middle + half < free;
      if (says) free = middle - half;
      return { ...gap, says };
    })
    .toReversed();
}

function phasesOf(
  points: readonly WirePoint[],
  which: Panel,
  x: (index: number) => number,
  scale: Ruler,
  digits: number,
  step: number,
): readonly ChartPhase[] {
  const out: ChartPhase[] = [];
  let from = 0;
  points.forEach((point, index) => {
    const next = points[index + 1];
    if (next?.limitSet === point.limitSet && next.imported === point.imported && sameLines(point[which], next[which]))
      return;
    if (point.limitSet !== null) {
      const { centre, lower, upper } = point[which];
      out.push({
        limitSet: point.limitSet,
        ruled: !point.imported,
        from: from === 0 ? x(0) - 8 : x(from) - step / 2,
        to: index === points.length - 1 ? x(index) + 8 : x(index) + step / 2,
        upper: edge(upper),
        lower: which === "spread" && !(lower !== null && lower > 0) ? null : edge(lower),
        centre: edge(centre),
      });
    }
    from = index + 1;
  });
  return out;

  function edge(value: number | null): { readonly y: number; readonly text: string } | null {
    return value === null ? null : { y: scale.y(value), text: figure(value, digits) };
  }
}

/** Subgroups of their own size, and an EWMA's first points, have lines of their own. */
function sameLines(a: WirePoint[Panel], b: WirePoint[Panel]): boolean {
  return a.centre === b.centre && a.lower === b.lower && a.upper === b.upper;
}

function ticksOf(
  scale: Ruler,
  digits: number,
  height: number,
): readonly { readonly y: number; readonly text: string }[] {
  const [low, high] = scale.domain;
  const count = height > 200 ? 5 : 3;
  const raw = (high - low) / count;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((one) => one * power).find((one) => one >= raw) ?? power;
  const out: { y: number; text: string }[] = [];
  const shownDigits = Math.max(digits, -Math.floor(Math.log10(step)), 0);
  for (let value = Math.ceil(low / step) * step; value <= high + step * 1e-9; value += step) {
    out.push({ y: scale.y(value), text: figure(value, shownDigits) });
  }
  return out;
}

function specificationLines(characteristic: WireCharacteristic, scale: Ruler): readonly SpecificationLine[] {
  const spec = characteristic.specification;
  if (spec === null) return [];
  return [spec.lower, spec.upper].flatMap((value): readonly SpecificationLine[] => {
    if (value === undefined) return [];
    const beyond = value > scale.domain[1] ? "above" : value < scale.domain[0] ? "below" : null;
    return [{ y: scale.y(value), text: `spec ${figure(value, characteristic.digits)}`, beyond }];
  });
}

/** One bracket a row: nine or more on one side, as far as it goes on signalling. */
function bracketsOf(
  points: readonly WirePoint[],
  x: (index: number) => number,
  scale: Ruler,
  height: number,
): readonly ChartBracket[] {
  const place = new Map(points.map((point, index) => [point.run, index]));
  const out: ChartBracket[] = [];
  points.forEach((point, index) => {
    const side = patternSide(point);
    if (side === null || patternSide(points[index + 1]) === side) return;
    const row = patternRow(point, points, side);
    const first = place.get(row[0] ?? point.run) ?? index;
    const ys = row.flatMap((run) => {
      const value = points[place.get(run)!]!.location.value;
      return value === null ? [] : [scale.y(value)];
    });
    const below = side === "above";
    const silent = (point.silenced ?? []).some(({ rule }) => rule === "nine-on-one-side");
    const y = below ? Math.min(height - 22, Math.max(...ys) + 26) : Math.max(22, Math.min(...ys) - 26);
    out.push({
      from: x(first),
      to: x(index),
      y,
      below,
      text: `${row.length} ${side} the centre line${silent ? ", no flag" : ""}`,
    });
  });
  return out;
}

function patternSide(point: WirePoint | undefined): "above" | "below" | null {
  for (const id of point?.signals ?? []) {
    const parts = signalParts(id);
    if (parts?.rule === "nine-on-one-side" && parts.on === "location") return parts.side;
  }
  return point?.silenced?.find(({ rule }) => rule === "nine-on-one-side")?.side ?? null;
}
