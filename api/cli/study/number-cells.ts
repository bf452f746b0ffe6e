import type { Decimals } from "./decimal.ts";
import type { Records } from "./records.ts";
import { shown } from "./shown.ts";

/** What a number of a column may be. */
export interface NumberKind {
  readonly whole?: boolean;
  /** What could be done with a number that is not whole. */
  readonly else?: string;
  readonly atLeastZero?: boolean;
  readonly required?: boolean;
}

/** Sums of ten million numbers larger than this are none. */
const largest = 1e300;

/** Reads the numbers of one column; NaN holds the place of an empty field. */
export class NumberCells {
  readonly field: number;
  private readonly name: string;
  private readonly decimals: Decimals;
  private readonly kind: NumberKind;

  constructor(field: number, name: string, decimals: Decimals, kind: NumberKind = {}) {
    this.field = field;
    this.name = name;
    this.decimals = decimals;
    this.kind = kind;
  }

  read(records: Records): number {
    const { field } = this;
    const value = this.decimals.read(records.bytes, records.starts[field]!, records.ends[field]!);
    if (value > largest || value < -largest) {
      throw this.unexpected(
        records,
        Number.isFinite(value) ? `${this.what()} of at most 1e300 in size` : this.expected(),
      );
    }
    if (this.kind.required === true && Number.isNaN(value)) throw this.unexpected(records, "a number");
    if (this.kind.atLeastZero === true && value < 0) throw this.unexpected(records, `${this.what()}, zero or more`);
    if (this.kind.whole === true && !Number.isSafeInteger(value) && !Number.isNaN(value)) {
      throw this.unexpected(
        records,
        value % 1 === 0 ? "a whole number below 2^53" : `a whole number${this.kind.else ?? ""}`,
      );
    }
    return value;
  }

  unexpected(records: Records, expected: string): Error {
    return records.wrong(this.field, `${this.name}: found ${shown(records.text(this.field))}, expected ${expected}`);
  }

  private what(): string {
    return this.kind.whole === true ? "a whole number" : "a number";
  }

  private expected(): string {
    const { mark } = this.decimals;
    const how = mark === null ? "" : ` with a decimal ${mark}${mark === "comma" ? "" : " or none"}`;
    return `${this.what()}${how}${this.kind.required === true ? "" : " or an empty field"}`;
  }
}
