import { readSync } from "node:fs";
import { CsvError } from "../csv.ts";

const comma = 0x2c;
const quote = 0x22;
const cr = 0x0d;
const lf = 0x0a;

/** A record longer than this is a quote that was never closed. */
const longestRecord = 16 * 2 ** 20;

/**
 * The records of a CSV file as RFC 4180 has them, one at a time and as bytes: nothing is made a text before somebody
 * asks for it, so that files of ten million lines are read as fast as they come. Fields stay valid until `next`.
 */
export class Records {
  /** The bytes that `starts` and `ends` count in. */
  bytes: Buffer<ArrayBuffer> = Buffer.allocUnsafe(2 ** 20);
  /** How many fields the record has. */
  count = 0;
  /** Bounds of the fields, half-open, without the quotes around. */
  starts: Int32Array<ArrayBuffer> = new Int32Array(64);
  ends: Int32Array<ArrayBuffer> = new Int32Array(64);
  /** Line the record begins on, counted from 1. */
  line = 1;
  /** Bytes of the file read so far. */
  taken = 0;
  separator = comma;
  private quotes = new Uint8Array(64);
  private readonly file: number;
  private readonly encoding: "utf-8" | "latin-1";
  private begin = 0;
  private at = 0;
  private filled = 0;
  private ended = false;
  private lines = 0;

  constructor(file: number, encoding: "utf-8" | "latin-1") {
    this.file = file;
    this.encoding = encoding;
    this.fill();
  }

  /** Passes over bytes at the very beginning if they stand there. */
  passOver(bytes: readonly number[]): boolean {
    if (this.filled - this.at < bytes.length || bytes.some((byte, i) => this.bytes[this.at + i] !== byte)) return false;
    this.at += bytes.length;
    return true;
  }

  /** The next record; false at the end. A blank line is a record of one empty field. */
  next(): boolean {
    this.line += this.lines;
    for (;;) {
      this.begin = this.at;
      const end = this.scan();
      if (end >= 0) {
        this.at = end;
        return true;
      }
      if (this.ended) return false;
      this.fill();
    }
  }

  /** Goes back before the record just read, which must not have been followed by another. */
  again(): void {
    this.at = this.begin;
    this.lines = 0;
  }

  /** Stands for a record of one empty field, until `next`. */
  empty(): void {
    this.count = 0;
    this.field(this.begin, this.begin, 0);
  }

  /** Bytes of a line, of those that were read already and not taken; 0 where no line ends among them. */
  lineLength(): number {
    let lines = 0;
    for (let at = this.at; at < this.filled; at++) if (this.bytes[at] === lf) lines += 1;
    return lines === 0 ? 0 : (this.filled - this.at) / lines;
  }

  blank(): boolean {
    return this.count === 1 && this.starts[0] === this.ends[0] && this.quotes[0] === 0;
  }

  /** What stands in a field. */
  text(field: number): string {
    const [start, end] = [this.starts[field]!, this.ends[field]!];
    const text =
      this.encoding === "utf-8" ? this.bytes.toString("utf8", start, end) : this.bytes.toString("latin1", start, end);
    return this.quotes[field] === 2 ? text.replaceAll('""', '"') : text;
  }

  /** Whether the bytes of a field are what it says, with no doubled quotes among them. */
  literal(field: number): boolean {
    return this.quotes[field] !== 2;
  }

  /** What is wrong with a field, and where it begins. */
  wrong(field: number, message: string): CsvError {
    const { line, column } = this.whereIs(this.starts[field]! - (this.quotes[field] === 0 ? 0 : 1));
    return new CsvError(line, column, message);
  }

  /** Bounds of the next record's fields; gives where the one after it begins, or -1 when more must be read first. */
  private scan(): number {
    const { bytes, filled, separator } = this;
    let at = this.begin;
    let start = at;
    let lines = 0;
    this.count = 0;
    if (at === filled && this.ended) return -1;
    for (;;) {
      if (at < filled && bytes[at] === quote) {
        const open = at;
        let doubled = 1;
        at += 1;
        for (;;) {
          if (at >= filled) {
            if (this.ended) throw this.broken(open, "found a quoted field without its closing quote, expected one");
            return -1;
          }
          const byte = bytes[at];
          if (byte === lf || (byte === cr && bytes[at + 1] !== lf)) lines += 1;
          else if (byte === quote) {
            if (at + 1 >= filled && !this.ended) return -1;
            if (at + 1 >= filled || bytes[at + 1] !== quote) break;
            doubled = 2;
            at += 1;
          }
          at += 1;
        }
        this.field(open + 1, at, doubled);
        at += 1;
        const after = at < filled ? bytes[at] : lf;
        if (at >= filled && !this.ended) return -1;
        if (after !== separator && after !== lf && after !== cr) {
          throw this.broken(at, "found text after a closing quote, expected the end of the field");
        }
      } else {
        let byte = 0;
        while (at < filled) {
          byte = bytes[at]!;
          if (byte === separator || byte === lf || byte === cr) break;
          if (byte === quote) {
            const expected = 'the whole field in quotes and "" for each quote in it';
            throw this.broken(at, `found a quote inside a field, expected ${expected}`);
          }
          at += 1;
        }
        if (at >= filled && !this.ended) return -1;
        this.field(start, at, 0);
      }
      if (at >= filled) {
        this.lines = lines;
        return at;
      }
      if (bytes[at] === separator) {
        at += 1;
        start = at;
        continue;
      }
      if (bytes[at] === cr) {
        if (at + 1 >= filled && !this.ended) return -1;
        if (at + 1 < filled && bytes[at + 1] === lf) at += 1;
      }
      this.lines = lines + 1;
      return at + 1;
    }
  }

  private field(start: number, end: number, quotes: number): void {
    if (this.count === this.starts.length) {
      this.starts = larger(this.starts);
      this.ends = larger(this.ends);
      const more = new Uint8Array(this.quotes.length * 2);
      more.set(this.quotes);
      this.quotes = more;
    }
    this.starts[this.count] = start;
    this.ends[this.count] = end;
    this.quotes[this.count] = quotes;
    this.count += 1;
  }

  /** Reads on, behind what of the present record is there already. */
  private fill(): void {
    const rest = this.filled - this.begin;
    if (rest > longestRecord) {
      throw this.broken(this.begin, "found a record of more than 16 MiB, expected the end of a quoted field");
    }
    if (rest > this.bytes.length / 2) {
      const roomier = Buffer.allocUnsafe(this.bytes.length * 2);
      this.bytes.copy(roomier, 0, this.begin, this.filled);
      this.bytes = roomier;
    } else this.bytes.copyWithin(0, this.begin, this.filled);
    this.begin = 0;
    this.at = 0;
    this.filled = rest;
    const got = readSync(this.file, this.bytes, rest, this.bytes.length - rest, null);
    this.filled += got;
    this.taken += got;
    this.ended = got === 0;
  }

  private broken(place: number, message: string): CsvError {
    const { line, column } = this.whereIs(place);
    return new CsvError(line, column, message);
  }

  private whereIs(place: number): { readonly line: number; readonly column: number } {
    const before = this.bytes.toString("latin1", this.begin, place);
    const breaks = before.match(/\r\n|\r|\n/g)?.length ?? 0;
    const from = this.begin + Math.max(before.lastIndexOf("\n"), before.lastIndexOf("\r")) + 1;
    const text =
      this.encoding === "utf-8" ? this.bytes.toString("utf8", from, place) : this.bytes.toString("latin1", from, place);
    return { line: this.line + breaks, column: [...text].length + 1 };
  }
}

function larger(list: Int32Array): Int32Array<ArrayBuffer> {
  const more = new Int32Array(list.length * 2);
  more.set(list);
  return more;
}
