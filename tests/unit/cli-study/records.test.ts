import { closeSync, openSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { afterEach, beforeEach, expect, test } from "vitest";
import { CsvError } from "../../../api/cli/csv.ts";
import { Records } from "../../../api/cli/study/records.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

interface Read {
  readonly line: number;
  readonly fields: readonly string[];
}

function records(text: string | Buffer, encoding: "utf-8" | "latin-1" = "utf-8"): readonly Read[] {
  const file = join(folder.path, "some.csv");
  writeFileSync(file, text);
  const handle = openSync(file, "r");
  try {
    const all = new Records(handle, encoding);
    const found: Read[] = [];
    while (all.next()) {
      found.push({ line: all.line, fields: Array.from({ length: all.count }, (_, field) => all.text(field)) });
    }
    return found;
  } finally {
    closeSync(handle);
  }
}

function error(text: string): string {
  try {
    records(text);
  } catch (caught) {
    if (caught instanceof CsvError) return `${caught.line}:${caught.column}: ${caught.message}`;
    throw caught;
  }
  throw new Error("it was read");
}

const fields = (text: string): readonly (readonly string[])[] => records(text).map((one) => one.fields);

test.each([
  [
    "lines that end as they may",
    "a,b\nc,d\r\ne,f\rg,h",
    [
      ["a", "b"],
      ["c", "d"],
      ["e", "f"],
      ["g", "h"],
    ],
  ],
  ["quotes, with separators, quotes and breaks in them", '"a,b","c ""d""","e\r\nf"\n', [["a,b", 'c "d"', "e\r\nf"]]],
  [
    "empty fields",
    'a,,\n,"",\n',
    [
      ["a", "", ""],
      ["", "", ""],
    ],
  ],
  [
    "an end without a break, in the middle of a record",
    'a,b\n1,"2"',
    [
      ["a", "b"],
      ["1", "2"],
    ],
  ],
  ["nothing", "", []],
])("%s", (_what, text, wanted) => {
  expect(fields(text)).toEqual(wanted);
});

test("each record knows its line, after breaks inside quotes too", () => {
  expect(records('a\n"1\n2"\n\nb\n').map((one) => one.line)).toEqual([1, 2, 4, 5]);
});

test("records lie across the border of what is read at a time, and may be longer than it", () => {
  const long = "x".repeat(3 * 2 ** 20);
  const rows = Array.from({ length: 40_000 }, (_, at) => `${at},"va""l ${at}",${"y".repeat(at % 97)}`);
  const text = [...rows, `"${long}",z`].join("\r\n");
  const found = fields(text);
  expect(found).toHaveLength(40_001);
  expect(found[39_999]).toEqual(["39999", 'va"l 39999', "y".repeat(39_999 % 97)]);
  expect(found[40_000]).toEqual([long, "z"]);
});

test("whatever the fields hold, they come back", () => {
  const field = fc.stringMatching(/^[ab",;\n\r°]{0,6}$/);
  const table = fc.array(fc.array(field, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 5 });
  fc.assert(
    fc.property(table, (rows) => {
      const text = rows.map((row) => row.map((one) => `"${one.replaceAll('"', '""')}"`).join(",")).join("\n");
      expect(fields(text)).toEqual(rows);
    }),
  );
});

test.each([
  ["a quote that never ends", 'a,b\n1,"2\n', "2:3: found a quoted field without its closing quote"],
  ["a quote inside a field", 'a,b\n°°,2"x\n', "2:5: found a quote inside a field"],
  ["text after a closing quote", '"a"b,c\n', "1:4: found text after a closing quote"],
])("%s is an error with its place", (_what, text, words) => {
  expect(error(text)).toContain(words);
});

test("letters outside ASCII are read in the encoding asked for", () => {
  expect(records(Buffer.from([0xb0, 0x43]), "latin-1")[0]?.fields).toEqual(["°C"]);
});
