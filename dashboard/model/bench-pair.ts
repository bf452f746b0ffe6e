import { line } from "d3-shape";
import type { WireFlag } from "../../api/contract/wire.ts";
import {
  alongBracket,
  besideLine,
  clearOf,
  type EdgeLabel,
  edgesApart,
  letterWidth,
  type Margins,
  marginsFor,
  middleOf,
  namesOver,
  type PlacedName,
  type PlacedText,
} from "./bench-labels.ts";
import {
  type BenchPicture,
  drawnFigure,
  type PanelName,
  type PicturePhase,
  type PicturePoint,
} from "./bench-picture.ts";
import { figure } from "./numbers.ts";
import { type Ruler, ruler, type Span, spanOf } from "./ruler.ts";
import { hatchBetween } from "./strip.ts";

export interface BenchDot {
  readonly index: number;
  readonly run: string;
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly look: "plain" | "imported" | "excluded";
  readonly used: boolean;
  /** Lies beyond the edge and is held there, with its value where there is room. */
  readonly printed: boolean;
  readonly ring: WireFlag["label"] | null;
  readonly number: (PlacedText & { readonly y: number }) | null;
}

interface Line {
  readonly y: number;
  readonly text: string;
}

export interface BenchPhase {
  readonly key: string;
  readonly set: string;
  readonly ruled: boolean;
  readonly from: number;
  readonly to: number;
  readonly upper: Line | null;
  readonly centre: Line | null;
  readonly lower: Line | null;
  readonly date: string | null;
}

export interface BenchBracket {
  readonly from: number;
  readonly to: number;
  readonly y: number;
  /** The sentence stands under it. */
  readonly below: boolean;
  readonly words: PlacedText;
}

export interface BenchPanel {
  readonly name: PanelName;
  readonly height: number;
  readonly path: string;
  readonly dots: readonly BenchDot[];
  readonly phases: readonly BenchPhase[];
  readonly ticks: readonly Line[];
  readonly brackets: readonly BenchBracket[];
  /** What stands at the right edge of the newest lines. */
  readonly edges: readonly EdgeLabel[];
  /** How far the newest limits may be off: an upright bar at the right end of each. */
  readonly bars: readonly { readonly from: number; readonly to: number }[];
  readonly specification: readonly (Line & { readonly beyond: "above" | "below" | null })[];
}

export interface BenchPair {
  readonly width: number;
  readonly location: BenchPanel;
  readonly spread: BenchPanel;
  readonly gaps: readonly {
    readonly from: number;
    readonly to: number;
    readonly text: string;
    readonly textX: number;
    readonly says: boolean;
  }[];
  /** Where limit sets begin, and what they are called there. */
  readonly names: readonly PlacedName[];
  readonly change: {
    readonly x: number;
    readonly from: number;
    readonly to: number;
    readonly words: PlacedText;
  } | null;
  readonly tags: readonly { readonly number: number; readonly x: number; readonly drop: number }[];
  readonly window: { readonly from: number; readonly to: number } | null;
  readonly x: (index: number) => number;
  /** The point nearest to a place across the drawing. */
  readonly nearest: (x: number) => number;
}

export interface BenchSize {
  readonly width: number;
  readonly locationHeight: number;
  readonly spreadHeight: number;
  readonly margins: Margins;
}

const pad = 8;
/** Kept free after the newest point for limits that no point has met yet. */
export const nextRoom = 56;

export function benchPair(picture: BenchPicture, size: BenchSize): BenchPair {
  const { points } = picture;
  const count = points.length;
  const room = size.width - (picture.next === null ? 0 : nextRoom);
  const step = (room - 2 * pad) / Math.max(1, count - 1);
  const x = (index: number): number => (count === 1 ? room / 2 : pad + index * step);
  const frame: Frame = { picture, x, step, width: size.width, room: { width: size.width, ...size.margins } };
  const places = phasePlaces(frame);
  const uprights = places.flatMap(({ phase: { names }, from }) => (names === null ? [] : [Math.max(0, from)]));
  return {
    width: size.width,
    location: panelOf(frame, "location", size.locationHeight),
    spread: panelOf(frame, "spread", size.spreadHeight),
    gaps: gapsOf(frame),
    names: namesOver(
      places.flatMap(({ phase: { key, names }, from }) =>
        names === null ? [] : [{ key, names, x: Math.max(0, from) }],
      ),
      frame.room,
    ),
    change:
      picture.change === null
        ? null
        : {
            x: x(picture.change.at),
            from: x(picture.change.first) - 3,
            to: x(picture.change.last) + 3,
            words: besideLine(
              x(picture.change.at),
              picture.change.wordings,
              frame.room,
              x(picture.change.at) > size.width / 2,
              uprights,
            ),
          },
    tags: tagsOf(frame),
    window:
      picture.window === null ? null : { from: x(picture.window.from) - step / 2, to: x(picture.window.to) + step / 2 },
    x,
    nearest: (place) => Math.min(count - 1, Math.max(0, count < 2 ? 0 : Math.round((place - pad) / step))),
  };
}

interface Frame {
  readonly picture: BenchPicture;
  readonly x: (index: number) => number;
  readonly step: number;
  readonly width: number;
  readonly room: Margins & { readonly width: number };
}

/** Margins that keep this picture's own numbers whole. */
export function benchMargins(
  picture: BenchPicture,
  heights: Pick<BenchSize, "locationHeight" | "spreadHeight">,
  least: Margins,
  words: boolean,
): Margins {
  const panels = [
    ["location", heights.locationHeight],
    ["spread", heights.spreadHeight],
  ] as const;
  const ticks = panels.flatMap(([name, height]) =>
    ticksOf(scaleOf(picture, name, height), picture.digits, height).map(({ text }) => text),
  );
  const last = picture.next ?? picture.phases.at(-1);
  const edges = panels.flatMap(([name]) =>
    last === undefined ? [] : Object.values(last.lines[name]).map((line) => drawnFigure(line, picture.digits)),
  );
  return marginsFor(ticks, edges, least, words);
}

function panelOf(frame: Frame, name: PanelName, height: number): BenchPanel {
  const { picture, x } = frame;
  const { points, digits } = picture;
  const scale = scaleOf(picture, name, height);
  const draw = line<number>(x, (index) => scale.y(points[index]![name].value!)).digits(1);
  const dots = points.flatMap((point, index) => dotOf(frame, point, index, name, scale));
  const phases = phasesOf(frame, name, scale);
  return {
    name,
    height,
    path: stretches(points, name)
      .map((indices) => draw(indices) ?? "")
      .join(""),
    dots: clearOfRings(withRoom(dots), frame),
    phases,
    edges: edgesOf(phases, height),
    bars: name === "spread" ? [] : barsOf(picture, scale, height),
    ticks: ticksOf(scale, digits, height),
    brackets: bracketsOf(frame, name, scale, height),
    specification:
      name === "spread"
        ? []
        : picture.specification.map((value) => ({
            y: scale.y(value),
            text: `spec ${figure(value, digits)}`,
            beyond: value > scale.domain[1] ? "above" : value < scale.domain[0] ? "below" : null,
          })),
  };
}

/** Limits at 20 % and 80 % of the height; where several sets ruled, the widest span of them. Without any, the values. */
function scaleOf({ points, phases, next }: BenchPicture, name: PanelName, height: number): Ruler {
  const sets = next === null ? phases : [...phases, next];
  const lines = sets.flatMap(({ lines: drawn }) => [drawn[name].lower, drawn[name].upper]);
  const span: Span = spanOf(lines) ?? spanOf(points.map((point) => point[name].value)) ?? { lower: 0, upper: 1 };
  if (name === "location") return ruler(span, height);
  // What measures spread starts at nought: the lower edge is nought.
  const top = Math.max(span.upper, Number.MIN_VALUE);
  return ruler({ lower: top / 4, upper: top }, height);
}

/** Runs of places that a line joins: none across a missing value, a silence, or from past to streamed runs. */
function stretches(points: readonly PicturePoint[], name: PanelName): readonly (readonly number[])[] {
  const found: number[][] = [];
  let open: number[] = [];
  const close = (): void => {
    if (open.length > 0) found.push(open);
    open = [];
  };
  points.forEach((point, index) => {
    if (point[name].value === null || point.anew || points[index - 1]?.imported !== point.imported) close();
    if (point[name].value !== null) open.push(index);
  });
  close();
  return found;
}

function dotOf(frame: Frame, point: PicturePoint, index: number, name: PanelName, scale: Ruler): readonly BenchDot[] {
  const { value, ring } = point[name];
  if (value === null) return [];
  const { picture, x } = frame;
  // Nothing lies below nought, where the spread's picture ends.
  const beyond = scale.beyond(value) && (name === "location" || value > scale.domain[1]);
  const y = scale.y(value);
  return [
    {
      ...{ index, run: point.run, x: x(index), y },
      text: drawnFigure(value, picture.digits),
      look: point.excluded ? "excluded" : point.imported ? "imported" : "plain",
      used: name === "location" && point.used,
      printed: beyond,
      ring: ring?.label ?? null,
      // At the edge the value itself stands above the ring, so the number goes to its left.
      number: ring?.number == null ? null : { text: ring.number, x: x(index) - 11, anchor: "end", y: y + 4 },
    },
  ];
}

/** Of values printed at an edge that would overlap, the newest keeps its print; the table has them all. */
function withRoom(dots: readonly BenchDot[]): readonly BenchDot[] {
  let free = Number.POSITIVE_INFINITY;
  return dots
    .toReversed()
    .map((dot) => {
      if (!dot.printed) return dot;
      const half = (dot.text.length * letterWidth) / 2 + 2;
      if (dot.x + half > free) return { ...dot, printed: false };
      free = dot.x - half;
      return dot;
    })
    .toReversed();
}

/** A flag's number stands to the left of all rings that crowd round its own, or to the right where it would be cut off. */
function clearOfRings(dots: readonly BenchDot[], { room }: Frame): readonly BenchDot[] {
  return dots.map((dot, at) => {
    if (dot.number === null) return dot;
    const words = dot.number.text.length * letterWidth + 16;
    let first = dot;
    for (let before = at - 1; before >= 0; before--) {
      const one = dots[before]!;
      if (first.x - one.x > words) break;
      if (one.ring !== null && Math.abs(one.y - dot.y) < 16) first = one;
    }
    const cut = first.x - words < -room.left;
    const number = cut
      ? { ...dot.number, x: dot.x + 11, anchor: "start" as const }
      : { ...dot.number, x: first.x - 11 };
    return { ...dot, number };
  });
}

/** Where each stretch of lines begins and ends, and the limits that no point has met yet behind them. */
function phasePlaces({ picture, x, step, width }: Frame): readonly {
  readonly phase: PicturePhase;
  readonly from: number;
  readonly to: number;
}[] {
  const last = picture.points.length - 1;
  const met = picture.phases.map((phase) => ({
    phase,
    from: phase.from === 0 ? x(0) - pad : x(phase.from) - step / 2,
    to: phase.to === last ? x(phase.to) + pad : x(phase.to) + step / 2,
  }));
  return picture.next === null ? met : [...met, { phase: picture.next, from: width - nextRoom + pad, to: width }];
}

function phasesOf(frame: Frame, name: PanelName, scale: Ruler): readonly BenchPhase[] {
  const { digits } = frame.picture;
  const drawn = (value: number | null): Line | null =>
    value === null ? null : { y: scale.y(value), text: figure(value, digits) };
  return phasePlaces(frame).map(({ phase: { key, set, ruled, date, lines }, from, to }) => {
    const { centre, lower, upper } = lines[name];
    return {
      ...{ key, set, ruled, date, from, to, upper: drawn(upper), centre: drawn(centre) },
      // A lower limit of nought is no line: nothing can lie below it.
      lower: name === "spread" && !(lower !== null && lower > 0) ? null : drawn(lower),
    };
  });
}

/** The newest lines that there are: a place where an EWMA is held has none of its own. */
function edgesOf(phases: readonly BenchPhase[], height: number): readonly EdgeLabel[] {
  const last = phases.findLast(({ upper }) => upper !== null) ?? phases.at(-1);
  if (last === undefined) return [];
  const label = (line: Line | null, word: string, date: string | null): readonly EdgeLabel[] =>
    line === null ? [] : [{ ...line, word, date }];
  return edgesApart(
    [
      ...label(last.upper, "high limit", last.date),
      ...label(last.centre, "centre", null),
      ...label(last.lower, "low limit", last.date),
    ],
    height,
  );
}

function barsOf({ phases, next, uncertainty }: BenchPicture, scale: Ruler, height: number): BenchPanel["bars"] {
  const last = next ?? phases.at(-1);
  if (uncertainty === null || last?.set !== uncertainty.set) return [];
  const { upper, lower } = last.lines.location;
  return [upper, lower].flatMap((line) => {
    if (line === null) return [];
    const [from, to] = [scale.y(line + uncertainty.by), scale.y(line - uncertainty.by)];
    return [{ from: Math.max(0, from), to: Math.min(height, to) }];
  });
}

function ticksOf(scale: Ruler, digits: number, height: number): readonly Line[] {
  const [low, high] = scale.domain;
  // No finer than the figures that are written: two ticks would say the same.
  const raw = Math.max((high - low) / (height > 200 ? 6 : 3), 10 ** -digits);
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((one) => one * power).find((one) => one >= raw * (1 - 1e-9)) ?? power;
  const shown = Math.max(0, Math.min(digits, -Math.floor(Math.log10(step) + 1e-9)));
  const first = Math.ceil(low / step - 1e-9);
  const count = Math.floor(high / step + 1e-9) - first + 1;
  return Array.from({ length: Math.max(0, count) }, (_, at) => (first + at) * step).map((value) => ({
    y: scale.y(value),
    text: figure(value, shown),
  }));
}

function bracketsOf(frame: Frame, name: PanelName, scale: Ruler, height: number): readonly BenchBracket[] {
  const { picture, x, room } = frame;
  const taken: Parameters<typeof clearOf>[1][number][] = [];
  return picture.patterns
    .filter(({ on }) => on === name)
    .map(({ from, to, side, text }) => {
      const ys = picture.points.slice(from, to + 1).flatMap((point) => {
        const { value } = point[name];
        return value === null ? [] : [scale.y(value)];
      });
      const below = side !== "below";
      const edge = below ? Math.max(...ys) + 22 : Math.min(...ys) - 22;
      const y = Math.min(height - 20, Math.max(20, edge));
      const words = alongBracket(x(from), x(to), text, room);
      const long = text.length * letterWidth;
      const start = words.anchor === "start" ? words.x : words.x - long;
      const [top, foot] = below ? [y - 6, y + 19] : [y - 19, y + 6];
      const box = { from: Math.min(x(from), start) - 3, to: Math.max(x(to), start + long) + 3, top, foot };
      // Brackets that follow each other closely stand one under the other.
      const clear = clearOf(box, taken, below ? 26 : -26, [0, height]);
      taken.push(clear);
      return { from: x(from), to: x(to), y: y + clear.top - box.top, below, words };
    });
}

function gapsOf({ picture, x, step, room }: Frame): BenchPair["gaps"] {
  const placed = picture.gaps
    .map((gap) =>
      gap.between
        ? { ...hatchBetween(x(gap.from), x(gap.to)), text: gap.text }
        : { from: x(gap.from) - step / 2, to: x(gap.to) + step / 2, text: gap.text },
    )
    .toSorted((a, b) => a.from - b.from);
  let free = Number.POSITIVE_INFINITY;
  return placed
    .toReversed()
    .map((gap) => {
      const half = (gap.text.length * letterWidth) / 2;
      const textX = middleOf((gap.from + gap.to) / 2, gap.text, room);
      const says = textX + half < free;
      if (says) free = textX - half;
      return { ...gap, textX, says };
    })
    .toReversed();
}

/** Tags that would overlap hang lower by turns. */
function tagsOf({ picture, x }: Frame): BenchPair["tags"] {
  let before = Number.NEGATIVE_INFINITY;
  let drop = 0;
  return picture.tags
    .toSorted((a, b) => a.at - b.at)
    .map(({ number, at }) => {
      const here = x(at);
      drop = here - before < 24 ? (drop + 1) % 2 : 0;
      before = here;
      return { number, x: here, drop };
    });
}
