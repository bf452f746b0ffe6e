import type { HitSide, WindowEntry, WindowStep } from "./rule-window.ts";

/** What one symbol does in one state of a rule's memory. */
export interface Move {
  readonly to: number;
  readonly fires: boolean;
}

/**
 * Memory of a rule: all it can remember, as numbered states, and what each kind of point makes of each.
 *
 * @shape   the side that the rule sees of each kind of point, and the rule's own step; state 0 remembers nothing
 * @unit    dimensionless
 * @method  states are found by feeding every kind of point to every memory, with the step that runs live
 * @cost    O(states kinds)
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function memoryOf(
  sides: readonly HitSide[],
  step: (window: readonly WindowEntry[], side: HitSide) => WindowStep,
): readonly (readonly Move[])[] {
  const windows: (readonly WindowEntry[])[] = [[]];
  const places = new Map<string, number>([["", 0]]);
  const moves: (readonly Move[])[] = [];
  for (const before of windows) {
    moves.push(
      sides.map((side) => {
        const { window, members } = step(before, side);
        const key = window.map((entry) => entry.side).join();
        // Iterating over an array goes on to what is pushed meanwhile: that is how new memories are met.
        const to = places.get(key) ?? windows.push(window) - 1;
        places.set(key, to);
        return { to, fires: members !== null };
      }),
    );
  }
  return moves;
}
