import { shown } from "./read-fields.ts";

/** Fields of one line and the column, from 1, that each begins at. */
export interface CsvLine {
  readonly fields: readonly string[];
  readonly columns: readonly number[];
}

/** What stands between fields: a spreadsheet whose decimal mark is the comma writes semicolons. */
export type Separator = "," | ";" | "\t";

/** The separator of a file whose first line names its columns: no name of ours holds any of them. */
export function separatorOf(head: string): Separator {
  return ([",", ";", "\t"] as const).find((one) => head.includes(one)) ?? ",";
}

/** Fields of a line of CSV (RFC 4180, but a field holds no line break), or what is wrong and in which column. */
export function csvLine(
  text: string,
  separator: Separator,
): CsvLine | { readonly column: number; readonly wrong: string } {
  if (!text.includes('"')) return plain(text, separator);
  const fields: string[] = [];
  const columns: number[] = [];
  for (let at = 0; ; ) {
    columns.push(at + 1);
    if (text[at] !== '"') {
      const end = endOf(text, separator, at);
      const field = text.slice(at, end);
      const quote = field.indexOf('"');
      if (quote >= 0)
        return { column: at + quote + 1, wrong: "found a quote inside a field that does not begin with one" };
      fields.push(field);
      at = end;
    } else {
      let field = "";
      for (at += 1; ; ) {
        const end = text.indexOf('"', at);
        if (end < 0) return { column: columns.at(-1)!, wrong: "found a quote that is not closed on its line" };
        field += text.slice(at, end);
        at = end + 1;
        if (text[at] !== '"') break;
        field += '"';
        at += 1;
      }
      fields.push(field);
      if (at < text.length && text[at] !== separator) {
        return { column: at + 1, wrong: `expected ${shown(separator)} or the end of the line after a closing quote` };
      }
    }
    if (at >= text.length) return { fields, columns };
    at += 1;
  }
}

function plain(text: string, separator: Separator): CsvLine {
  const fields = text.split(separator);
  const columns: number[] = [];
  let column = 1;
  for (const field of fields) {
    columns.push(column);
    column += field.length + 1;
  }
  return { fields, columns };
}

function endOf(text: string, separator: Separator, from: number): number {
  const at = text.indexOf(separator, from);
  return at < 0 ? text.length : at;
}
