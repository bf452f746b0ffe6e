import fc from "fast-check";
import { expect, test } from "vitest";
import { CsvError, type CsvRecord, readCsv } from "../../../api/cli/csv.ts";

async function all(...chunks: readonly string[]): Promise<readonly CsvRecord[]> {
  const records: CsvRecord[] = [];
  for await (const record of readCsv(chunks)) records.push(record);
  return records;
}

/** RFC 4180, section 2: as a writer would put it. */
function written(rows: readonly (readonly string[])[], lineEnd: string): string {
  const field = (text: string): string => `"${text.replaceAll('"', '""')}"`;
  return rows.map((row) => row.map(field).join(",") + lineEnd).join("");
}

test("what RFC 4180 lets be written is read again, however the text is cut", async () => {
  const text = fc.string({ unit: fc.constantFrom("a", '"', ",", "\n", "\r\n", " ", "é", "😀"), maxLength: 6 });
  const rows = fc.array(fc.array(text, { minLength: 1, maxLength: 4 }), { maxLength: 5 });
  await fc.assert(
    fc.asyncProperty(rows, fc.constantFrom("\n", "\r\n"), fc.integer({ min: 1, max: 7 }), async (given, end, size) => {
      const whole = [...written(given, end)];
      const chunks: string[] = [];
      for (let from = 0; from < whole.length; from += size) chunks.push(whole.slice(from, from + size).join(""));
      expect((await all(...chunks)).map(({ fields }) => fields)).toEqual(given);
    }),
  );
});

test("plain fields, blank lines, a byte order mark and a last line without its end are read", async () => {
  const records = await all("\uFEFFrun,value\r\n\r\nS-1,0.9\n,\nS-2,");
  expect(records.map(({ fields }) => fields)).toEqual([
    ["run", "value"],
    ["S-1", "0.9"],
    ["", ""],
    ["S-2", ""],
  ]);
  expect(records.map(({ line }) => line)).toEqual([1, 3, 4, 5]);
});

test("line and column of each field are known, also after a field with a line break", async () => {
  const records = await all('a,bc,"d"\n"e\nf",g\nh\n');
  expect(records.map(({ line, columns }) => ({ line, columns }))).toEqual([
    { line: 1, columns: [1, 3, 6] },
    { line: 2, columns: [1, 4] },
    { line: 4, columns: [1] },
  ]);
});

test.each([
  ['a,b"c\n', 1, 4, "a quote inside a field"],
  ['a\n"b"c\n', 2, 4, "found c after a closing quote"],
  ['a\nb,"c\nd', 2, 3, "without its closing quote"],
])("what is no CSV is told with its place: %j", async (text, line, column, words) => {
  const error = await all(text).catch((found: unknown) => found);
  expect(error).toBeInstanceOf(CsvError);
  expect(error).toMatchObject({ line, column, message: expect.stringContaining(words) });
});

test("plain lines and quoted ones among them keep fields, lines and columns, however the text is cut", async () => {
  const plain = fc.string({ unit: fc.constantFrom("a", "7", ".", " ", "é", "😀"), maxLength: 4 });
  const field = fc.oneof({ weight: 4, arbitrary: plain }, fc.constantFrom("x,y", 'x"y', "x\ny"));
  const rows = fc.array(fc.array(field, { minLength: 2, maxLength: 4 }), { maxLength: 8 });
  const inQuotes = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  await fc.assert(
    fc.asyncProperty(rows, fc.constantFrom("\n", "\r\n"), fc.integer({ min: 1, max: 40 }), async (given, end, size) => {
      const whole = [...given.map((row) => row.map(inQuotes).join(",") + end).join("")];
      const chunks = Array.from({ length: Math.ceil(whole.length / size) }, (_, i) =>
        whole.slice(i * size, (i + 1) * size).join(""),
      );
      const found = await all(...chunks);
      expect(found.map(({ fields }) => fields)).toEqual(given);
      // Each character by itself takes no short way.
      const slowly = await all(...whole);
      expect(found).toEqual(slowly);
      expect(await all(whole.join(""))).toEqual(slowly);
    }),
  );
});
