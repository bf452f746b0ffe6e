/** Minutes of a day, counted from midnight. */
const DAY = 24 * 60;

/**
 * Whether a time of day lies in somebody's hours: `always`, or `22:00-06:00`, where the first minute counts and the
 * last does not. The same time twice is a whole day. What time of day it is, the site's own clock says: in the night
 * when the clocks change, `02:00-03:00` is hours that come twice, or not at all.
 */
export function withinHours(hours: string, minuteOfDay: number): boolean {
  if (hours === "always") return true;
  const [from, to] = hours.split("-").map(minutesOf) as [number, number];
  const since = (minuteOfDay - from + DAY) % DAY;
  const lasts = (to - from + DAY) % DAY;
  return lasts === 0 || since < lasts;
}

function minutesOf(clock: string): number {
  const [hour, minute] = clock.split(":").map(Number) as [number, number];
  return hour * 60 + minute;
}
