/** 1 above, -1 below, 0 neither: on a line is neither. */
export type HitSide = -1 | 0 | 1;

/** A value beside the lines it is counted from. */
export interface LinedValue {
  readonly value: number;
  readonly centre: number;
  readonly sigma: number;
}

/** A point as one rule remembers it. */
export interface WindowEntry {
  readonly run: string;
  /** Its side, or the direction of the step that led to it. */
  readonly side: HitSide;
  /** Kept of the newest point where the next step is counted from it. */
  readonly at?: LinedValue;
}

/** What one more point made of a window: the runs of the pattern when it is complete, else null. */
export interface WindowStep {
  readonly window: readonly WindowEntry[];
  readonly members: readonly string[] | null;
}

/**
 * Next window: whether this point completes the rule's pattern, and what has to be remembered of it.
 *
 * @shape   how many hits of how many points, the window so far, oldest first, and the new point
 * @unit    dimensionless
 * @method  complete when the newest is a hit and `hits` of the last `of` lie on its side. Fewer than `of` points may
 *          do. Forgets what can take part in no later pattern, so that the memory is as small as it can be
 * @cost    O(of^2)
 * @source  Champ and Woodall 1987, Technometrics 29:393-399, T(k, m, a, b) (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function nextWindow(
  rule: { readonly hits: number; readonly of: number },
  window: readonly WindowEntry[],
  entry: WindowEntry,
): WindowStep {
  const recent = [...window, entry].slice(-rule.of);
  const alike = recent.filter(({ side }) => side !== 0 && side === entry.side);
  const members = alike.length >= rule.hits ? alike.map(({ run }) => run) : null;
  return { window: remembered(rule, recent), members };
}

function remembered(
  rule: { readonly hits: number; readonly of: number },
  recent: readonly WindowEntry[],
): readonly WindowEntry[] {
  const useful = recent.map((entry, i) => {
    // The widest later window that still holds entry i has room for this many further points.
    const room = rule.of - (recent.length - i);
    const alike = recent.slice(i).filter(({ side }) => side === entry.side).length;
    return room > 0 && entry.side !== 0 && alike + room >= rule.hits ? entry : { run: "", side: 0 as const };
  });
  const first = useful.findIndex(({ side }) => side !== 0);
  return first === -1 ? [] : useful.slice(first);
}

/**
 * Next row outside: whether this point completes a row of points that all lie far from the centre.
 *
 * @shape   the rule, the row so far, oldest first, and the new point
 * @unit    dimensionless
 * @method  complete when the last `points` all lie outside and, where both sides are asked for, not all on one. Of the
 *          points before the newest stretch on one side only their number matters, so they are remembered as opposite
 * @cost    O(points)
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239, test 8 (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function nextOutside(
  rule: { readonly points: number; readonly sides: "both" | "any" },
  row: readonly WindowEntry[],
  entry: WindowEntry,
): WindowStep {
  if (entry.side === 0) return { window: [], members: null };
  const recent = [...row, entry].slice(-rule.points);
  const mixed = recent.some(({ side }) => side !== entry.side);
  const complete = recent.length === rule.points && (mixed || rule.sides === "any");
  const before = recent.findLastIndex(({ side }) => side !== entry.side);
  const window = recent.slice(-(rule.points - 1)).map(({ run }, i, { length }) => {
    const opposite = rule.sides === "both" && i + (recent.length - length) <= before;
    return { run, side: rule.sides === "any" ? 1 : opposite ? (-entry.side as HitSide) : entry.side };
  });
  return { window, members: complete ? recent.map(({ run }) => run) : null };
}
