import { letterWidth } from "./bench-labels.ts";
import type { SiteTimes } from "./times.ts";

/** Between the words of two places. */
const apart = 10;

/**
 * Times under an axis of runs in order, so wide: evenly chosen places, as many as stand apart, the day written where it
 * changes.
 */
export function axisTimes(
  points: readonly { readonly at: string }[],
  times: SiteTimes,
  most: number,
  width: number,
): readonly { readonly index: number; readonly text: string }[] {
  if (points.length === 0) return [];
  for (let count = Math.min(most, points.length); count > 2; count--) {
    const found = evenly(points, times, count);
    if (standApart(found, points.length, width)) return found;
  }
  return evenly(points, times, Math.min(2, most, points.length));
}

function evenly(
  points: readonly { readonly at: string }[],
  times: SiteTimes,
  count: number,
): readonly { readonly index: number; readonly text: string }[] {
  const places = Array.from({ length: count }, (_, at) =>
    count === 1 ? 0 : Math.round((at * (points.length - 1)) / (count - 1)),
  );
  let day = "";
  return places.map((index) => {
    const at = Date.parse(points[index]!.at);
    const here = times.day(at);
    const text = here === day ? times.minute(at) : `${here} ${times.minute(at)}`;
    day = here;
    return { index, text };
  });
}

/** The first words begin at their place, the last end at it, the others stand over it. */
function standApart(
  labels: readonly { readonly index: number; readonly text: string }[],
  points: number,
  width: number,
): boolean {
  let free = Number.NEGATIVE_INFINITY;
  return labels.every(({ index, text }, at) => {
    const x = (index * width) / Math.max(1, points - 1);
    const long = text.length * letterWidth;
    const from = at === 0 ? x : at === labels.length - 1 ? x - long : x - long / 2;
    const fits = from >= free;
    free = from + long + apart;
    return fits;
  });
}
