import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { temporaryFolder } from "../../temporary-folder.ts";
import { study, tableIn } from "./study-process.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

const value = ["--value", "w"];
const ofP = ["--count", "d", "--size", "n", "--chart", "p"];

// What the file says, what is asked of it, and what is told after the file's name.
test.each([
  ["an empty file", "", value, "1:1: found an empty file, expected a first line that names the columns"],
  ["a first line only", "w\n", value, "2:1: found no data rows below the first line, expected at least two"],
  ["a missing column", "a,b\n1,2\n", value, "1:1: --value: found no column w, expected one of a, b"],
  ["a column twice", "w,w\n1,2\n", value, "1:3: found the column w again, expected it once"],
  ["text in a number column", "i,w\n1,5\n2,abc\n", value, "3:3: w: found abc, expected a number or an empty field"],
  ["a point after decimal commas", "w\n1,5\n1.5\n", value, "3:1: w: found 1.5, expected a number with a decimal comma"],
  ["a number without end", "w\n1e999\n1\n", value, "2:1: w: found 1e999, expected a number"],
  [
    "line breaks and codes in a cell",
    'w\n"a\n\u001b[31m"\n',
    value,
    "2:1: w: found a\\u000a\\u001b[31m, expected a number",
  ],
  [
    "more defective than looked at",
    "d,n\n1,10\n12,11\n",
    ofP,
    "3:1: d: found 12, expected at most 11, the n of its row",
  ],
  ["a negative count", "d,n\n1,10\n-1,10\n", ofP, "3:1: d: found -1, expected a whole number, zero or more"],
  ["a broken count", "d,n\n1,10\n1.5,10\n", ofP, "3:1: d: found 1.5, expected a whole number"],
  [
    "areas without a chart",
    "d,n\n1,1.5\n0,1\n",
    ofP.slice(0, 4),
    "2:3: n: found 1.5, expected a whole number of pieces, or --chart u",
  ],
  [
    "a count beyond all counting",
    "d,n\n1,1e300\n0,1\n",
    ofP,
    "2:3: n: found 1e300, expected a whole number below 2^53",
  ],
  ["a negative size", "d,n\n1,10\n0,-10\n", ofP, "3:3: n: found -10, expected a whole number, zero or more"],
  [
    "dates out of order",
    "t,w\n2026-01-06,1\n2026-01-05,2\n",
    [...value, "--time", "t"],
    "3:1: t: found 2026-01-05, expected a time not before 2026-01-06 of the row above",
  ],
  ["a day that is none", "t,w\n2026-02-30,1\n", [...value, "--time", "t"], "2:1: t: found 2026-02-30, expected a date"],
  ["no time", "t,w\n,1\n", [...value, "--time", "t"], "2:1: t: found an empty field, expected an instant"],
  ["one point", "w\n5\n\n", value, "2:1: found 1 point in 1 data rows, expected at least two points to plot"],
  [
    "one point beside missing ones",
    "i,w\n1,5\n2,\n",
    value,
    "3:1: found 1 point in 2 data rows, expected at least two",
  ],
  [
    "a label that returns",
    "s,w\nA,1\nA,2\nB,3\nA,4\n",
    [...value, "--subgroup", "s"],
    "5:1: s: found A again after other labels, expected the rows of a subgroup next to one another",
  ],
  [
    "a row without label",
    "s,w\nA,1\n,2\n",
    [...value, "--subgroup", "s"],
    "3:1: s: found an empty field, expected the label",
  ],
  [
    "a baseline inside a subgroup",
    "s,w\nA,1\nA,2\nB,3\nB,4\n",
    [...value, "--subgroup", "s", "--baseline", "0:3"],
    "5:1: --baseline: found row 3 inside the subgroup B, expected a row with which a subgroup begins",
  ],
  [
    "a baseline beyond the end",
    "w\n1\n2\n3\n",
    [...value, "--baseline", "0:4"],
    "4:1: --baseline: found 0:4, expected rows from 0 to at most 3",
  ],
  ["a row too short", "a,w\n1,2\n3\n", value, "3:1: found 1 field, expected 2 as in the first line"],
  ["a row too long", "a,w\n1,2\n3,4,5\n", value, "3:5: found 3 fields, expected 2 as in the first line"],
  ["a quote without end", 'a,w\n1,"2\n', value, "2:3: found a quoted field without its closing quote"],
  [
    "text of another encoding",
    Buffer.from("\ufeffw\n1\n2\n", "utf16le"),
    value,
    "1:1: found UTF-16 text, expected UTF-8",
  ],
  [
    "a broken number of units between",
    "g\n1\n1.5\n",
    ["--value", "g", "--chart", "g"],
    "3:1: g: found 1.5, expected a whole number",
  ],
  [
    "a negative time between",
    "t\n1\n-2\n",
    ["--value", "t", "--chart", "t"],
    "3:1: t: found -2, expected a number, zero or more",
  ],
] as const)(
  "%s: exit 2, nothing on stdout, one line that says where, what was found and what expected",
  (_what, text, words, told) => {
    const file = tableIn(folder.path, text);
    const { code, out, err } = study(file, ...words, "--json");
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err.startsWith(`${file}:${told}`), err).toBe(true);
    expect(err).toContain("expected");
    expect(err.trimEnd().split("\n")).toHaveLength(1);
  },
);

test.each([
  ["an unknown option", ["--loud"], "found --loud, expected one of --value"],
  ["an unknown chart", ["--chart", "pie"], "--chart: found pie, expected one of individuals"],
  ["an unknown rule", ["--rules", "ten"], "--rules: found ten, expected none or some of beyond-limit"],
  ["p without sizes", ["--count", "w", "--chart", "p"], "--chart p: found no --size, expected the name of a column"],
  [
    "a lower limit above the upper",
    ["--lower", "2", "--upper", "1"],
    "--upper: found 1, expected a number above --lower",
  ],
])("%s: exit 2, nothing on stdout, one line", (_what, words, told) => {
  const { code, out, err } = study(tableIn(folder.path, "w\n1\n2\n"), ...value, ...words);
  expect({ code, out }).toEqual({ code: 2, out: "" });
  expect(err).toContain(told);
  expect(err.trimEnd().split("\n")).toHaveLength(1);
});

test("a file that is not there, a folder, and a picture that cannot be written are told in one line each", () => {
  const file = tableIn(folder.path, "w\n1\n2\n");
  const none = join(folder.path, "none.csv");
  for (const [words, told] of [
    [[none], `${none}: found no such file, expected a CSV file`],
    [[folder.path], `${folder.path}: found a folder, expected a CSV file`],
    [[file, "--svg", join(folder.path, "no", "a.svg")], "which cannot be written (ENOENT)"],
  ] as const) {
    const { code, out, err } = study(...words, ...value);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toContain(told);
    expect(err.trimEnd().split("\n")).toHaveLength(1);
  }
});

test("a line break in the name of a file breaks no line of a message", () => {
  const file = tableIn(folder.path, "w\nx\n", "two\nlines.csv");
  for (const path of [file, `${file}.not-there`]) {
    const { code, out, err } = study(path, ...value);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toMatch(/two\\u000alines\.csv[^\n]*\n$/);
    expect(err.trimEnd()).not.toContain("\n");
  }
});
