import { siteTimes } from "./times.ts";

const shape = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/;

/** What a date-and-time field holds, read as the site's own clock; null for what is no time. */
export function fromField(text: string, zone: string): string | null {
  const asUtc = shape.test(text) ? Date.parse(`${text}Z`) : Number.NaN;
  if (Number.isNaN(asUtc)) return null;
  // The offset holds at the instant looked for, which is known only by its help: twice is enough but for the hour
  // that a clock change repeats or leaves out, where either reading is as good.
  const first = asUtc - offsetMs(asUtc, zone);
  return new Date(asUtc - offsetMs(first, zone)).toISOString();
}

/** An instant as such a field wants it, on the site's clock. */
export function toField(at: string, zone: string): string {
  const ms = Date.parse(at);
  return new Date(ms + offsetMs(ms, zone)).toISOString().slice(0, 19);
}

function offsetMs(ms: number, zone: string): number {
  const found = /^(.)(\d{2}):(\d{2})$/.exec(siteTimes(zone).offset(ms));
  if (found === null) return 0;
  const size = (Number(found[2]) * 60 + Number(found[3])) * 60_000;
  return found[1] === "+" ? size : -size;
}
