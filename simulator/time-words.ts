const unitMs: Readonly<Record<string, number>> = { s: 1000, min: 60_000, h: 3_600_000, d: 86_400_000 };

/** Milliseconds of a length of time such as `90s`, `20min`, `1h30min`, `0`; undefined for anything else. */
export function lengthMs(text: string): number | undefined {
  if (text === "0") return 0;
  if (!/^(\d+(\.\d+)?(s|min|h|d))+$/.test(text)) return undefined;
  let total = 0;
  for (const [, number, unit] of text.matchAll(/(\d+(?:\.\d+)?)(s|min|h|d)/g)) {
    total += Number(number) * (unitMs[unit as string] as number);
  }
  return Math.round(total);
}

/** Milliseconds since the epoch of an ISO 8601 time with an offset; undefined for anything else. */
export function instantMs(text: string): number | undefined {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)$/.test(text)) return undefined;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? undefined : ms;
}
