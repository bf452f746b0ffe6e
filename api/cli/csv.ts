/** One record of a CSV text. */
export interface CsvRecord {
  /** Line it begins on, counted from 1. */
  readonly line: number;
  readonly fields: readonly string[];
  /** Column each field begins at, counted from 1; on a line further down when an earlier field holds line breaks. */
  readonly columns: readonly number[];
}

/** Text that is not CSV, and where. */
export class CsvError extends Error {
  override readonly name = "CsvError";
  readonly line: number;
  readonly column: number;
  constructor(line: number, column: number, message: string) {
    super(message);
    this.line = line;
    this.column = column;
  }
}

/**
 * Reads CSV as RFC 4180 has it: commas, double quotes doubled inside quotes, CRLF or LF, any chunking, a byte order
 * mark passed over. Blank lines are passed over too. A file of any size: one record at a time is held.
 */
export async function* readCsv(chunks: AsyncIterable<string> | Iterable<string>): AsyncGenerator<CsvRecord> {
  const reader = new RecordReader();
  for await (const chunk of chunks) yield* reader.take(chunk);
  yield* reader.end();
}

/** Without quotes and control characters, not empty; beyond ASCII a character may be two places long. */
const plainLine = /^([ !#-~]+)\r?\n$/;

type Where = "start" | "plain" | "quoted" | "after-quote";

class RecordReader {
  private where: Where = "start";
  private field = "";
  private fields: string[] = [];
  private columns: number[] = [];
  private line = 1;
  private column = 1;
  private recordLine = 1;
  private fieldColumn = 1;
  private first = true;

  *take(chunk: string): Generator<CsvRecord> {
    let from = 0;
    while (from < chunk.length) {
      const end = chunk.indexOf("\n", from);
      const text = end < 0 ? chunk.slice(from) : chunk.slice(from, end + 1);
      from += text.length;
      const plain = this.atStart() ? plainLine.exec(text)?.[1] : undefined;
      if (plain === undefined) yield* this.characters(text);
      else yield this.plainRecord(plain);
    }
  }

  private atStart(): boolean {
    return this.where === "start" && this.fields.length === 0 && !this.first;
  }

  /** A whole line in which nothing is quoted, as most are: many times quicker than character by character. */
  private plainRecord(text: string): CsvRecord {
    const fields = text.split(",");
    let column = 1;
    const columns = fields.map((field) => {
      const at = column;
      column += field.length + 1;
      return at;
    });
    const record = { line: this.line, fields, columns };
    this.line += 1;
    this.recordLine = this.line;
    return record;
  }

  private *characters(text: string): Generator<CsvRecord> {
    for (const char of text) {
      if (this.first) {
        this.first = false;
        if (char === "\uFEFF") continue;
      }
      yield* this.step(char);
      if (char === "\n") {
        this.line += 1;
        this.column = 1;
        if (this.where === "start" && this.fields.length === 0) this.recordLine = this.line;
      } else this.column += 1;
      if (this.where === "start" && char !== "\r") this.fieldColumn = this.column;
    }
  }

  *end(): Generator<CsvRecord> {
    if (this.where === "quoted") {
      throw new CsvError(this.recordLine, this.fieldColumn, "found a quoted field without its closing quote");
    }
    yield* this.closeRecord();
  }

  private *step(char: string): Generator<CsvRecord> {
    if (this.where === "quoted") {
      if (char === '"') this.where = "after-quote";
      else this.field += char;
    } else if (char === "," || char === "\n") {
      if (char === ",") this.closeField();
      else yield* this.closeRecord();
    } else if (char === '"') this.quote();
    else this.plain(char);
  }

  private quote(): void {
    if (this.where === "plain")
      throw this.wrong('found a quote inside a field, expected the whole field in quotes and "" for each quote in it');
    if (this.where === "after-quote") this.field += '"';
    this.where = "quoted";
  }

  private plain(char: string): void {
    if (char === "\r") return;
    if (this.where === "after-quote")
      throw this.wrong(`found ${char} after a closing quote, expected a comma or the end of the line`);
    this.field += char;
    this.where = "plain";
  }

  private closeField(): void {
    this.fields.push(this.field);
    this.columns.push(this.fieldColumn);
    this.field = "";
    this.where = "start";
  }

  private *closeRecord(): Generator<CsvRecord> {
    const blank = this.fields.length === 0 && this.field === "" && this.where === "start";
    if (!blank) {
      this.closeField();
      yield { line: this.recordLine, fields: this.fields, columns: this.columns };
    }
    this.fields = [];
    this.columns = [];
    this.where = "start";
  }

  private wrong(message: string): CsvError {
    return new CsvError(this.line, this.column, message);
  }
}
