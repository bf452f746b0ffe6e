/** A time as ISO 8601 with its offset, in milliseconds since the epoch; undefined for anything else. */
export function instantMs(text: string): number | undefined {
  // An offset is asked for: a local time without one means two instants when the clocks go back.
  const match = /^(\d{4}-\d\d-\d\d)T\d\d:\d\d(:\d\d(\.\d{1,9})?)?(Z|[+-]\d\d:\d\d)$/.exec(text);
  if (match === null || !isDay(match[1]!)) return undefined;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? undefined : ms;
}

/** JavaScript takes 30 February for 2 March. */
function isDay(text: string): boolean {
  const ms = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(ms) && new Date(ms).toISOString().startsWith(text);
}
