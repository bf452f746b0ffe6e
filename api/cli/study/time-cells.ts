import { instantMs } from "../instant.ts";
import type { Decimals } from "./decimal.ts";
import type { Records } from "./records.ts";
import { shown } from "./shown.ts";

type TimeKind = "instant" | "local" | "date" | "number";

const kindWords: Readonly<Record<TimeKind, string>> = {
  instant: "an instant with its offset, such as 2026-01-05T06:00:00Z",
  local: "a time such as 2026-01-05 06:00:00",
  date: "a date such as 2026-01-05",
  number: "a number",
};

/** Reads a column of times, all of one kind and none before the one above it. */
export class TimeCells {
  /** Whether times stood without their offset. */
  local = false;
  private readonly field: number;
  private readonly name: string;
  private readonly decimals: Decimals;
  private kind: TimeKind | null = null;
  private before = Number.NEGATIVE_INFINITY;
  private beforeText = "";

  constructor(field: number, name: string, decimals: Decimals) {
    this.field = field;
    this.name = name;
    this.decimals = decimals;
  }

  read(records: Records): number {
    const text = records.text(this.field).trim();
    this.kind ??= kindOf(text);
    const time = this.kind === null ? undefined : this.timeOf(records, text);
    if (time === undefined)
      throw this.unexpected(
        records,
        this.kind === null ? Object.values(kindWords).join(", or ") : kindWords[this.kind],
      );
    if (time < this.before)
      throw this.unexpected(records, `a time not before ${shown(this.beforeText)} of the row above`);
    this.before = time;
    this.beforeText = text;
    return time;
  }

  private timeOf(records: Records, text: string): number | undefined {
    switch (this.kind) {
      case "number": {
        const value = this.decimals.read(records.bytes, records.starts[this.field]!, records.ends[this.field]!);
        return Number.isFinite(value) ? value : undefined;
      }
      case "date":
        return /^\d{4}-\d\d-\d\d$/.test(text) ? instantMs(`${text}T00:00:00Z`) : undefined;
      case "local":
        this.local = true;
        return instantMs(`${text.replace(" ", "T")}Z`);
      default:
        return instantMs(text.replace(" ", "T"));
    }
  }

  private unexpected(records: Records, expected: string): Error {
    return records.wrong(this.field, `${this.name}: found ${shown(records.text(this.field))}, expected ${expected}`);
  }
}

function kindOf(text: string): TimeKind | null {
  if (/^\d{4}-\d\d-\d\d$/.test(text)) return "date";
  if (/^\d{4}-\d\d-\d\d[T ].*(Z|[+-]\d\d:\d\d)$/.test(text)) return "instant";
  if (/^\d{4}-\d\d-\d\d[T ]/.test(text)) return "local";
  return /^[+-]?\d/.test(text) || /^[+-]?[.,]\d/.test(text) ? "number" : null;
}

const longGap = 3;

/** Places before which memory of earlier ones ends: more than three usual spacings lie between. */
export function longGaps(times: Float64Array): readonly number[] {
  if (times.length < 3) return [];
  const spacings = new Float64Array(times.length - 1);
  for (let i = 0; i < spacings.length; i++) spacings[i] = times[i + 1]! - times[i]!;
  spacings.sort();
  const middle = (spacings.length - 1) / 2;
  const usual = (spacings[Math.floor(middle)]! + spacings[Math.ceil(middle)]!) / 2;
  const places: number[] = [];
  if (usual <= 0) return places;
  for (let i = 1; i < times.length; i++) if (times[i]! - times[i - 1]! > longGap * usual) places.push(i);
  return places;
}
