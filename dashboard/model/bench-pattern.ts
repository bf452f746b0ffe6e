import type { WirePoint } from "../../api/contract/wire.ts";
import { rules } from "../../spc/rules/rule.ts";

type Side = "above" | "below";
type Point = Pick<WirePoint, "run" | "imported" | "location">;

/**
 * Points that a pattern looked at up to one, oldest first: for a row on one side all of that row, for others as many as
 * the rule counts. A point without a value is passed over; none reaches into imported points, for those never signal.
 */
export function patternRuns(point: Point, points: readonly Point[], rule: string, side: Side): string[] {
  const end = points.findIndex((one) => one.run === point.run);
  const row = rules.find(({ id }) => id === rule);
  const most = row === undefined || row.kind === "limit" ? 1 : row.kind === "window" ? row.of : row.points;
  const unbroken = rule === "nine-on-one-side";
  const out: string[] = [];
  for (let at = end; at >= 0; at--) {
    const one = points[at]!;
    const { value, centre } = one.location;
    if (one.imported || (!unbroken && out.length === most)) break;
    if (value === null) continue;
    if (unbroken && (centre === null || (side === "above" ? value <= centre : value >= centre))) break;
    out.unshift(one.run);
  }
  return out;
}
