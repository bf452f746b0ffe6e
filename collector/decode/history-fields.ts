import type { Rejection } from "./decoder.ts";
import type { HistoryOptions, TimeForm } from "./history.ts";
import { instantMs } from "./instant.ts";
import { localInstants } from "./local-time.ts";
import { reject } from "./read-fields.ts";

const withPoint = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const withComma = /^[+-]?(?:\d+,?\d*|,\d+)(?:[eE][+-]?\d+)?$/;
const whole = /^-?\d+$/;
const seconds = /^-?\d+(?:\.\d+)?$/;

/** Digits of a whole number that stand below the millisecond. */
const below: Readonly<Record<Exclude<TimeForm, "iso" | "local" | "s">, number>> = { ms: 0, us: 3, ns: 6 };

type Times = Pick<HistoryOptions, "time" | "zone">;

/** Milliseconds since 1970; what is finer is cut off. Nanoseconds are cut as text: as a number they would be rounded. */
export function historyTime(text: string, { time, zone }: Times): number | undefined {
  if (time === "iso") return instantMs(text);
  if (time === "local") {
    const found = localInstants(text, zone);
    return found === undefined ? instantMs(text) : found.length === 1 ? found[0] : undefined;
  }
  if (time === "s") return seconds.test(text) ? Math.floor(Number(text) * 1000 + 1e-4) : undefined;
  if (!whole.test(text) || text.length > 24) return undefined;
  const cut = below[time];
  if (cut === 0) return Number(text);
  // Only what came before 1970 is rounded the other way, and that is refused as too old anyway.
  return Number(text.slice(0, -cut) || "0");
}

/** A number, or undefined; what is too large for a number is infinite and refused later. */
export function historyNumber(text: string, decimal: HistoryOptions["decimal"] = "point"): number | undefined {
  if (decimal === "comma") return withComma.test(text) ? Number(text.replace(",", ".")) : undefined;
  return withPoint.test(text) ? Number(text) : undefined;
}

export function notATime(text: string, times: Times, place: string, rejections: Rejection[]): undefined {
  return reject(rejections, "not-a-time", place, `expected ${expected(text, times)}, found ${text || "nothing"}`);
}

function expected(text: string, { time, zone }: Times): string {
  if (time === "iso") return "ISO 8601 with an offset, such as 2026-11-25T08:05:12.345Z";
  if (time !== "local") return `a time in ${time} since 1970`;
  const instants = localInstants(text, zone);
  if (instants === undefined) return "a local time such as 2026-11-25 08:05:12 or 25.11.2026 08:05:12";
  return instants.length === 0
    ? "a time that the zone's clocks show: they skipped this one"
    : "an offset, such as 2026-10-25T02:30:00+01:00: the zone's clocks showed this time twice";
}
