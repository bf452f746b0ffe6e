import type { SiteTimes } from "./times.ts";

/** Times under an axis of runs in order: evenly chosen places, the day written where it changes. */
export function axisTimes(
  points: readonly { readonly at: string }[],
  times: SiteTimes,
  most: number,
): readonly { readonly index: number; readonly text: string }[] {
  if (points.length === 0) return [];
  const count = Math.min(most, points.length);
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
