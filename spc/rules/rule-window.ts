import type { Limits } from "../model/chart.ts";
import { judge } from "../model/point.ts";
import type { WindowRule } from "./rule.ts";

/** 1 above, -1 below, 0 neither: on a line is neither. */
export type HitSide = -1 | 0 | 1;

/** A point as one window rule remembers it. */
export interface WindowEntry {
  readonly run: string;
  readonly side: HitSide;
}

/** What one more point made of a window: the runs of the pattern when it is complete, else null. */
export interface WindowStep {
  readonly window: readonly WindowEntry[];
  readonly members: readonly string[] | null;
}

/**
 * Hit side: on which side of a rule's lines a value lies.
 *
 * @shape   a finite value and the chart's lines
 * @unit    dimensionless: 1 above, -1 below, 0 neither
 * @method  strictly beyond centre + or - `beyond` sigma; within the last bits of a line counts as on it
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function hitSide(rule: WindowRule, value: number, limits: Limits): HitSide {
  const away = rule.beyond * limits.sigma;
  const verdict = judge(value, limits.centre - away, limits.centre + away);
  return verdict === "above" ? 1 : verdict === "below" ? -1 : 0;
}

/**
 * Next window: whether this point completes the rule's pattern, and what has to be remembered of it.
 *
 * @shape   the window so far, oldest first, and the new point
 * @unit    dimensionless
 * @method  complete when the newest is a hit and `hits` of the last `of` lie on its side. Fewer than `of` points may
 *          do. Forgets what can take part in no later pattern, so that the memory is as small as it can be
 * @cost    O(of^2)
 * @source  Champ and Woodall 1987, Technometrics 29:393-399, T(k, m, a, b) (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function nextWindow(rule: WindowRule, window: readonly WindowEntry[], entry: WindowEntry): WindowStep {
  const recent = [...window, entry].slice(-rule.of);
  const alike = recent.filter(({ side }) => side !== 0 && side === entry.side);
  const members = alike.length >= rule.hits ? alike.map(({ run }) => run) : null;
  return { window: remembered(rule, recent), members };
}

function remembered(rule: WindowRule, recent: readonly WindowEntry[]): readonly WindowEntry[] {
  const useful = recent.map((entry, i) => {
    // The widest later window that still holds entry i has room for this many further points.
    const room = rule.of - (recent.length - i);
    const alike = recent.slice(i).filter(({ side }) => side === entry.side).length;
    return room > 0 && entry.side !== 0 && alike + room >= rule.hits ? entry : { run: "", side: 0 as const };
  });
  const first = useful.findIndex(({ side }) => side !== 0);
  return first === -1 ? [] : useful.slice(first);
}
