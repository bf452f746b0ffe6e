import type { KnownCentreChange } from "../changepoint/known-centre.ts";
import { changePointKnownCentre } from "../changepoint/known-centre.ts";
import type { Limits } from "../model/chart.ts";
import type { PointRecord } from "../model/journal-entry.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Since when a process has been off the centre of its limits, told in points. */
export interface SinceWhen {
  readonly first: PointRecord;
  readonly before: number;
  readonly after: number;
  readonly set: readonly PointRecord[];
  readonly cautions: KnownCentreChange["cautions"];
}

/**
 * When the level changed that a flag is about: by the points under one limit set from the last correction up to the
 * flag's first signal on the location chart.
 */
export function sinceWhen(
  points: readonly PointRecord[],
  limits: { readonly id: string; readonly location: Limits },
  flagged: { readonly run: string; readonly correctedAfter: string | null },
): Outcome<SinceWhen> {
  const end = points.findIndex(({ run }) => run === flagged.run);
  if (end < 0) return refuse("no-value", "the run that opened the flag is not among the points at hand");
  const corrected = points.findIndex(({ run }) => run === flagged.correctedAfter);
  const start = corrected >= 0 && corrected < end ? corrected + 1 : 0;
  const own = points
    .slice(start, end + 1)
    .filter(({ limitSet, location }) => limitSet === limits.id && location.value !== null);
  if (own.length === 0) return refuse("no-value", "no point with a value lies under these limits");
  const { centre, sigma } = limits.location;
  const found = changePointKnownCentre(
    own.map(({ location }) => location.value!),
    centre,
    sigma,
  );
  if (!found.ok) return found;
  const { index, after, set, cautions } = found.value;
  return ok({ first: own[index]!, before: centre, after, set: set.map((place) => own[place]!), cautions });
}
