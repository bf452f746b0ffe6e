import type { KnownCentreChange } from "../changepoint/known-centre.ts";
import { changePointKnownCentre } from "../changepoint/known-centre.ts";
import type { PointRecord } from "../model/journal-entry.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";

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
 * flag's first signal on the location chart. Each point counts by its distance in its own sigma; of a weighted mean,
 * which remembers earlier points, the averages that went in are asked.
 */
export function sinceWhen(
  points: readonly PointRecord[],
  limits: Pick<LimitSet, "id" | "location" | "scheme">,
  flagged: { readonly run: string; readonly correctedAfter: string | null },
): Outcome<SinceWhen> {
  const end = points.findIndex(({ run }) => run === flagged.run);
  if (end < 0) return refuse("no-value", "the run that opened the flag is not among the points at hand");
  const corrected = points.findIndex(({ run }) => run === flagged.correctedAfter);
  const start = corrected >= 0 && corrected < end ? corrected + 1 : 0;
  const own = points
    .slice(start, end + 1)
    .filter(({ limitSet }) => limitSet === limits.id)
    .flatMap((point) => {
      const z = distanceOf(point, limits);
      return z === null ? [] : [{ point, z }];
    });
  if (own.length === 0) return refuse("no-value", "no point with a value lies under these limits");
  const found = changePointKnownCentre(
    own.map(({ z }) => z),
    0,
    1,
  );
  if (!found.ok) return found;
  const { index, after, set, cautions } = found.value;
  const { centre } = limits.location;
  return ok({
    first: own[index]!.point,
    ...{ before: centre, after: centre + after * sigmaOfFull(limits) },
    set: set.map((place) => own[place]!.point),
    cautions,
  });
}

type Lined = Pick<LimitSet, "location" | "scheme">;

/** From the centre, in sigma of what went into the chart. */
function distanceOf({ location, members }: PointRecord, { location: { centre, sigma }, scheme }: Lined): number | null {
  if (location.value === null) return null;
  if (scheme === undefined) return (location.value - centre) / sigma;
  const values = (members ?? []).flatMap(({ value }) => (value === null ? [] : [value]));
  if (values.length === 0) return null;
  const own = scheme.ewma?.alike === true ? scheme.sigma : scheme.sigma / Math.sqrt(values.length);
  return (mean(values) - centre) / own;
}

/** Sigma of the average of a full subgroup. */
function sigmaOfFull({ location, scheme }: Lined): number {
  if (scheme === undefined) return location.sigma;
  return scheme.ewma?.alike === true ? scheme.sigma : scheme.sigma / Math.sqrt(scheme.runs);
}
