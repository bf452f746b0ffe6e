/** A time as ISO 8601 with its offset, in milliseconds since the epoch; undefined for anything else. */
export function instantMs(text: string): number | undefined {
  // An offset is asked for: a local time without one means two instants when the clocks go back.
  const match = /^(\d{4})-(\d\d)-(\d\d)T\d\d:\d\d(:\d\d(\.\d{1,9})?)?(Z|[+-]\d\d:\d\d)$/.exec(text);
  if (match === null || !isDay(Number(match[1]), Number(match[2]), Number(match[3]))) return undefined;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? undefined : ms;
}

/** JavaScript takes 30 February for 2 March. */
function isDay(year: number, month: number, day: number): boolean {
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  return day >= 1 && day <= (month === 2 && leap ? 29 : (monthDays[month - 1] ?? 0));
}

const monthDays = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
