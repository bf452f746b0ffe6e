import type { Rule } from "./rule.ts";
import { rules } from "./rule.ts";
import type { Move } from "./rule-memory.ts";
import { memoryOf } from "./rule-memory.ts";
import { nextInZones, nextSteps, zoneSide } from "./rule-pattern.ts";
import type { HitSide } from "./rule-window.ts";

/** One value of each kind that the rules tell apart, in sigma: between the lines and on them, from below. */
const KINDS: readonly number[] = [-2.5, -2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2, 2.5];
/** Neither, up, down. */
const STEPS: readonly HitSide[] = [0, 1, -1];
/** Places in a row of a table. */
export const WIDTH = 16;

/**
 * Rules as tables. By row + kind stands the next row, times 256, and in the lowest eight bits which rules are complete,
 * by their order among all. Row 0 remembers nothing.
 */
export interface ScanTables {
  /** Rules about sides of lines, by the kind of value: 2 i between lines i - 1 and i, 2 i + 1 on line i. */
  readonly sides: Int32Array;
  /** Rules about points near the centre line or far from it. */
  readonly spread: Int32Array;
  /** Rules about steps: 0 neither, 1 up, 2 down. */
  readonly steps: Int32Array;
}

/**
 * Scan tables: all eight rules as three small automata, so that a point costs three look-ups.
 *
 * @shape   nothing goes in: the rows of `rules`
 * @unit    dimensionless
 * @method  every rule's memory is found by the step that runs live (`memoryOf`); of several rules those states that can
 *          be met together. Rules that look at the same points share a table, because together they have few states
 * @cost    some milliseconds, once
 * @source  derived here
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function scanTables(): ScanTables {
  const made = kept[0] ?? {
    sides: tableOf((rule) => rule.kind === "window"),
    spread: tableOf((rule) => rule.kind === "inside" || rule.kind === "outside"),
    steps: tableOf((rule) => rule.kind === "trend" || rule.kind === "alternating"),
  };
  kept[0] = made;
  return made;
}

const kept: ScanTables[] = [];

function tableOf(chosen: (rule: Rule) => boolean): Int32Array {
  const own = rules.flatMap((rule, order) => (chosen(rule) ? [{ bit: 1 << order, moves: movesOf(rule) }] : []));
  const kinds = own[0]!.moves[0]!.length;
  const tuples: (readonly number[])[] = [own.map(() => 0)];
  const places = new Map<string, number>([[tuples[0]!.join(), 0]]);
  const table: number[] = [];
  for (const tuple of tuples) {
    for (let kind = 0; kind < WIDTH; kind += 1) {
      const moves = own.map(({ moves: all }, i) => all[tuple[i]!]![Math.min(kind, kinds - 1)]!);
      const after = moves.map(({ to }) => to);
      const key = after.join();
      const place = places.get(key) ?? tuples.push(after) - 1;
      places.set(key, place);
      const bits = own.reduce((all, { bit }, i) => (moves[i]!.fires ? all | bit : all), 0);
      table.push(place * WIDTH * 256 + bits);
    }
  }
  return Int32Array.from(table);
}

function movesOf(rule: Rule): readonly (readonly Move[])[] {
  if (rule.kind === "limit") throw new RangeError(`${rule.id} remembers nothing`);
  if (rule.kind === "trend" || rule.kind === "alternating") {
    return memoryOf(STEPS, (window, side) => nextSteps(rule, window, { run: "", side }));
  }
  const sides = KINDS.map((value) => zoneSide(rule, { value, centre: 0, sigma: 1 }));
  return memoryOf(sides, (window, side) => nextInZones(rule, window, { run: "", side }));
}
