import type { Span } from "../../../spc/model/grouped.ts";
import { CsvError } from "../csv.ts";
import { GrowingNumbers } from "./growing.ts";
import type { Records } from "./records.ts";
import type { ReturningLabels } from "./returning-labels.ts";
import { shown } from "./shown.ts";
import { longGaps, type TimeCells } from "./time-cells.ts";

/** Half-open, in data rows from 0. */
export interface RowSpan {
  readonly from: number;
  readonly to: number;
}

export interface PlaceColumns {
  readonly label: { readonly field: number; readonly name: string; readonly returning: ReturningLabels } | null;
  readonly time: TimeCells | null;
  readonly baseline: RowSpan | null;
  /** Rows expected, for setting memory aside. */
  readonly expected: number;
}

/** Tells row by row where a plotted place begins, and turns rows of the baseline into places. */
export class Places {
  rows = 0;
  count = 0;
  /** Line of the newest row. */
  line = 1;
  private readonly columns: PlaceColumns;
  private readonly times: GrowingNumbers;
  private label: Buffer = Buffer.alloc(0);
  private from = 0;
  private to: number | null = null;

  constructor(columns: PlaceColumns) {
    this.columns = columns;
    this.times = new GrowingNumbers(columns.time === null ? 0 : columns.expected);
  }

  /** Takes the row in; true when a place begins with it. */
  begins(records: Records): boolean {
    const begins = this.newLabel(records);
    const time = this.columns.time?.read(records);
    if (begins && time !== undefined) this.times.push(time);
    const { baseline } = this.columns;
    if (baseline !== null && (this.rows === baseline.from || this.rows === baseline.to)) this.border(records, begins);
    this.rows += 1;
    this.line = records.line;
    if (begins) this.count += 1;
    return begins;
  }

  /** Places of the baseline; null where every row is. */
  baseline(): Span | null {
    const { baseline } = this.columns;
    if (baseline === null) return null;
    if (baseline.to > this.rows) {
      const found = `found ${baseline.from}:${baseline.to}, expected rows from 0 to at most ${this.rows}`;
      throw new CsvError(this.line, 1, `--baseline: ${found}, as many as the file has`);
    }
    return { from: this.from, to: this.to ?? this.count };
  }

  anew(): readonly number[] {
    return longGaps(this.times.numbers());
  }

  private newLabel(records: Records): boolean {
    const { label } = this.columns;
    if (label === null) return true;
    const { field, name, returning } = label;
    const literal = records.literal(field);
    const bytes = literal ? records.bytes : Buffer.from(records.text(field));
    const [start, end] = literal ? [records.starts[field]!, records.ends[field]!] : [0, bytes.length];
    if (start === end) throw records.wrong(field, `${name}: found an empty field, expected the label of a subgroup`);
    if (this.rows > 0 && bytes.compare(this.label, 0, this.label.length, start, end) === 0) return false;
    if (returning.returns(bytes, start, end)) {
      const found = `found ${shown(records.text(field))} again after other labels`;
      throw records.wrong(field, `${name}: ${found}, expected the rows of a subgroup next to one another`);
    }
    this.label = Buffer.from(bytes.subarray(start, end));
    return true;
  }

  private border(records: Records, begins: boolean): void {
    if (!begins) {
      const field = this.columns.label?.field ?? 0;
      const found = `found row ${this.rows} inside the subgroup ${shown(records.text(field))}`;
      throw records.wrong(field, `--baseline: ${found}, expected a row with which a subgroup begins`);
    }
    if (this.rows === this.columns.baseline?.from) this.from = this.count;
    else this.to = this.count;
  }
}
