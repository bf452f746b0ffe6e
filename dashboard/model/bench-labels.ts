/** Where words stand on a chart so that none covers another and none is cut off. Widths are estimates of letters. */

/** Width of a letter of the smallest text, for keeping words apart. */
export const letterWidth = 6.2;
/** The same of a number at the right edge, which is larger and heavier. */
const numberWidth = 7.9;
const lineHeight = 14;
/** From the right end of the lines to the labels there, and from the ticks to the left one. */
export const edgeGap = 14;
export const tickGap = 10;

/** How far words may reach beyond the drawing, on either side. */
export interface Margins {
  readonly left: number;
  readonly right: number;
}

export interface PlacedText {
  readonly text: string;
  readonly x: number;
  readonly anchor: "start" | "end";
}

interface Room extends Margins {
  readonly width: number;
}

/** Margins in which ticks and edge labels of so many letters are not cut off, and at least those given. */
export function marginsFor(
  ticks: readonly string[],
  edges: readonly string[],
  least: Margins,
  words: boolean,
): Margins {
  const longest = (texts: readonly string[]): number => Math.max(0, ...texts.map(({ length }) => length));
  const word = words ? 5 + "high limit".length * letterWidth : 0;
  return {
    left: Math.max(least.left, Math.ceil(tickGap + longest(ticks) * (letterWidth + 0.6) + 2)),
    right: Math.max(least.right, Math.ceil(edgeGap + longest(edges) * numberWidth + word + 2)),
  };
}

/**
 * The first of several wordings that fits beside an upright line, on its left or right, without another upright line
 * running through it; where there is none the first that is not cut off, and the last one where none fits at all.
 */
export function besideLine(
  x: number,
  wordings: readonly string[],
  room: Room,
  leftFirst: boolean,
  uprights: readonly number[] = [],
): PlacedText {
  const sides = leftFirst ? (["end", "start"] as const) : (["start", "end"] as const);
  for (const others of [uprights, []]) {
    for (const text of wordings) {
      for (const anchor of sides) {
        const [from, to] = reach(text, x, anchor);
        const crossed = others.some((other) => other > from - 2 && other < to + 2);
        if (inside(from, to, room) && !crossed) return { text, x: anchor === "start" ? x + 5 : x - 5, anchor };
      }
    }
  }
  const text = wordings.at(-1) ?? "";
  return { text, x: 4 - room.left, anchor: "start" };
}

/** The sentence of a bracket: from its beginning, to its end, or where there is room. */
export function alongBracket(from: number, to: number, text: string, room: Room): PlacedText {
  const long = text.length * letterWidth;
  const begins: PlacedText = { text, x: from, anchor: "start" };
  const ends: PlacedText = { text, x: to, anchor: "end" };
  const [first, second] = to > room.width * 0.75 ? [ends, begins] : [begins, ends];
  for (const one of [first, second]) {
    const start = one.anchor === "start" ? one.x : one.x - long;
    if (inside(start, start + long, room)) return one;
  }
  return { text, x: Math.max(2 - room.left, Math.min(from, room.width + room.right - long - 2)), anchor: "start" };
}

/** The middle of words as near to a place as they can stand without being cut off. */
export function middleOf(x: number, text: string, room: Room): number {
  const half = (text.length * letterWidth) / 2 + 2;
  const [least, most] = [half - room.left, room.width + room.right - half];
  return least > most ? room.width / 2 : Math.min(most, Math.max(least, x));
}

export interface Named {
  readonly key: string;
  /** Where its upright line stands. */
  readonly x: number;
  /** Longest first. */
  readonly names: readonly string[];
}

export interface PlacedName {
  readonly key: string;
  readonly x: number;
  /** Nought is the lowest. */
  readonly row: number;
  /** Null where no wording has room: the line stands there without. */
  readonly name: PlacedText | null;
}

/** Orders in which rows are tried: a name above the line of an older set leaves that one's row free. */
const rowOrders = [
  [0, 1, 2],
  [1, 0, 2],
  [2, 1, 0],
] as const;
const mostWordings = 4;

/**
 * Names of limit sets over the lines where they begin, in up to three rows. The newest is placed first; an older one
 * takes another row, its other side or a shorter wording, so that neither words nor lines run through words. Long
 * wordings give way where they would leave another set without its name.
 */
export function namesOver(given: readonly Named[], room: Room): readonly PlacedName[] {
  let best: readonly PlacedName[] = [];
  let most = -1;
  for (let from = 0; from < mostWordings && most < given.length; from++) {
    for (const rows of rowOrders) {
      const tried = placed(given, room, from, rows);
      const named = tried.filter(({ name }) => name !== null).length;
      if (named > most) [best, most] = [tried, named];
    }
  }
  return best;
}

function placed(given: readonly Named[], room: Room, from: number, rows: readonly number[]): readonly PlacedName[] {
  const out: PlacedName[] = [];
  for (const one of given.toReversed()) {
    const free = options(one, from, rows).find(
      (option) => inside(...reachOf(option), room) && out.every((other) => apart(option, other)),
    );
    out.push(free ?? { key: one.key, x: one.x, row: 0, name: null });
  }
  return out.reverse();
}

function options({ key, x, names }: Named, from: number, rows: readonly number[]): PlacedName[] {
  const wordings = from < names.length ? names.slice(from) : names.slice(-1);
  return wordings.flatMap((text) =>
    rows.flatMap((row) =>
      (["start", "end"] as const).map(
        (anchor): PlacedName => ({ key, x, row, name: { text, x: anchor === "start" ? x + 5 : x - 5, anchor } }),
      ),
    ),
  );
}

/** Whether neither of two covers the other: words by words of one row, or by a line that goes up past their row. */
function apart(a: PlacedName, b: PlacedName): boolean {
  const [aFrom, aTo] = reachOf(a);
  const [bFrom, bTo] = reachOf(b);
  if (a.name !== null && b.name !== null && a.row === b.row && aFrom < bTo + 6 && bFrom < aTo + 6) return false;
  const crosses = (line: PlacedName, words: PlacedName, from: number, to: number): boolean =>
    words.name !== null && line.name !== null && line.row >= words.row && line.x > from - 2 && line.x < to + 2;
  return !crosses(a, b, bFrom, bTo) && !crosses(b, a, aFrom, aTo);
}

function reachOf({ name, x }: PlacedName): readonly [number, number] {
  return name === null ? [x, x] : reach(name.text, x, name.anchor);
}

function reach(text: string, x: number, anchor: "start" | "end"): readonly [number, number] {
  const long = text.length * letterWidth;
  return anchor === "start" ? [x + 5, x + 5 + long] : [x - 5 - long, x - 5];
}

function inside(from: number, to: number, { width, left, right }: Room): boolean {
  return from >= -left && to <= width + right;
}

export interface EdgeLabel {
  readonly y: number;
  readonly text: string;
  readonly word: string;
  readonly date: string | null;
}

/** Labels at the right edge, pushed apart where lines lie close to each other; dates go first when room is short. */
export function edgesApart(labels: readonly EdgeLabel[], height: number): readonly EdgeLabel[] {
  const sorted = labels.toSorted((a, b) => a.y - b.y);
  const close = sorted.some((one, at) => {
    const next = sorted[at + 1];
    return next !== undefined && next.y - one.y < (one.date === null ? lineHeight : 2 * lineHeight);
  });
  let free = Number.NEGATIVE_INFINITY;
  const down = sorted.map((one) => {
    const y = Math.max(one.y, free);
    free = y + lineHeight;
    return { ...one, y, date: close ? null : one.date };
  });
  // What was pushed beyond the foot of the panel pushes back up.
  let most = Math.max(height, ...sorted.map(({ y }) => y));
  return down
    .toReversed()
    .map((one) => {
      const y = Math.min(one.y, most);
      most = y - lineHeight;
      return { ...one, y };
    })
    .toReversed();
}

interface Box {
  readonly from: number;
  readonly to: number;
  readonly top: number;
  readonly foot: number;
}

/** Steps a box away from its place until it covers none of those that stand already. */
export function clearOf(box: Box, taken: readonly Box[], stepBy: number, within: readonly [number, number]): Box {
  const clashes = (one: Box): boolean =>
    taken.some((other) => one.from < other.to && other.from < one.to && one.top < other.foot && other.top < one.foot);
  for (let step = 0; step < 8; step++) {
    for (const by of step === 0 ? [0] : [step * stepBy, -step * stepBy]) {
      const moved = { ...box, top: box.top + by, foot: box.foot + by };
      if (moved.top >= within[0] && moved.foot <= within[1] && !clashes(moved)) return moved;
    }
  }
  return box;
}
