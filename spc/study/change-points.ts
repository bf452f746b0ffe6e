import { changePointKnownCentre } from "../changepoint/known-centre.ts";
import { changePointUnknown } from "../changepoint/unknown-levels.ts";
import type { Caution, DrawnChart } from "../model/drawn-chart.ts";
import type { Span } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import { estimateLocation } from "../sigma/location.ts";
import { subgroupAverages } from "../sigma/subgroup-moments.ts";
import type { StudyForm } from "./forms.ts";
import type { Judged } from "./judged.ts";
import type { StudyRequest } from "./request.ts";
import type { ChangePoint } from "./result.ts";

export interface StudiedChanges {
  readonly points: readonly ChangePoint[];
  readonly cautions: readonly Caution[];
}

/** Points in sigma from the level that the chart holds them to, each with its place. */
interface Standardised {
  readonly z: Float64Array;
  readonly places: Uint32Array;
}

/** Their points share values, or are waits whose own level is seldom known: no change of level is looked for. */
const without: readonly StudyForm[] = ["g", "t", "t2", "mewma"];
const timeWeighted: readonly StudyForm[] = ["ewma", "cusum", "moving-average"];

/**
 * Change of level: since when a process has been off its known centre, up to the first signal after the baseline; or,
 * where all is baseline and no centre is given, whether its level changed at all.
 *
 * @source  Samuel, Pignatiello and Calvin 1998, Quality Engineering 10:521-527 (from memory)
 */
export function changePointsOf(request: StudyRequest, form: StudyForm, judged: Judged): StudiedChanges {
  const none = { points: [], cautions: [] };
  const location = judged.charts[0];
  if (location === undefined || location.chart.refusal !== null || without.includes(form)) return none;
  const known = request.centre !== null || location.chart.provenance.to < location.chart.values.length;
  const from = request.centre !== null ? 0 : known ? location.chart.provenance.to : 0;
  const points = standardised(request, form, location.chart, judged.baseline, from);
  if (points === null || points.z.length === 0) return none;

  const upTo = known ? firstSignal(judged, from, points.places) : points.z.length;
  if (upTo === null) return none;
  const found = known ? changePointKnownCentre(points.z, 0, 1, upTo) : changePointUnknown(points.z);
  return found.ok ? { points: [placed(points, found.value)], cautions: found.value.cautions } : none;
}

function placed(
  { places }: Standardised,
  found: { readonly index: number; readonly set: readonly number[] },
): ChangePoint {
  return { index: places[found.index]!, set: found.set.map((i) => places[i]!) };
}

/** How many points there are up to the first signal of any chart at or after a place. */
function firstSignal({ charts }: Judged, from: number, places: Uint32Array): number | null {
  const at = places.findIndex((place) => place >= from && charts.some(({ signals }) => signals.any(place)));
  return at < 0 ? null : at + 1;
}

function standardised(
  { data, basis, centre, sigma }: StudyRequest,
  form: StudyForm,
  chart: DrawnChart,
  baseline: Span,
  from: number,
): Standardised | null {
  if (data.kind !== "values" || !timeWeighted.includes(form)) {
    return kept(chart.values.length, from, (place) => {
      const value = chart.values.at(place);
      const middle = chart.centres.at(place);
      const spread = chart.sigmas.at(place);
      return value === null || middle === null || spread === null || !(spread > 0) ? null : (value - middle) / spread;
    });
  }
  // What a time-weighted chart plots remembers earlier points, so the averages that went in are asked.
  const { values } = data;
  const found = estimateLocation(values, { baseline, k: 3, limits: "sigma", basis, centre, sigma });
  if (!found.ok) return null;
  const averages = subgroupAverages(values);
  return kept(subgroupCount(values), from, (place) => {
    const size = values.starts[place + 1]! - values.starts[place]!;
    return size === 0 ? null : ((averages[place]! - found.value.centre) * Math.sqrt(size)) / found.value.sigma;
  });
}

function kept(length: number, from: number, at: (place: number) => number | null): Standardised {
  const z = new Float64Array(length - from);
  const places = new Uint32Array(length - from);
  let count = 0;
  for (let place = from; place < length; place += 1) {
    const value = at(place);
    if (value === null || !Number.isFinite(value)) continue;
    z[count] = value;
    places[count] = place;
    count += 1;
  }
  return { z: z.subarray(0, count), places: places.subarray(0, count) };
}
