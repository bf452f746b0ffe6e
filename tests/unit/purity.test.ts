import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { productFolders, sourcesIn } from "./source-files.ts";

/** What the compiler cannot refuse in `spc/`, because it is part of the language itself. */
const impure: readonly (readonly [string, RegExp])[] = [
  ["reads the clock", /\bDate\.now\s*\(|\bnew Date\s*\(\s*\)|\bDate\s*\(\s*\)/],
  ["is random", /\bMath\.random\b/],
  [
    "depends on the machine's zone or language",
    /\.toLocale\w*\(|\bIntl\.|\.getTimezoneOffset\(|\.get(?:Hours|Day|Date|Month)\(/,
  ],
  ["keeps state in the module", /^(?:let|var)\s/m],
];

test.each(impure)("nothing in spc %s", (_, pattern) => {
  const strays = sourcesIn("spc").filter((file) => pattern.test(code(file)));
  expect(strays).toEqual([]);
});

test("only spc/model/point.ts says that a point is within its limits", () => {
  // A comparison with NaN is false, and false must never come out as "in control": so one function decides it.
  const strays = productFolders
    .flatMap(sourcesIn)
    .filter((file) => file !== "spc/model/point.ts")
    .filter((file) => /(?:\?|=>|\breturn|verdict:|\?\?|\|\|)\s*"within"/.test(code(file)));
  expect(strays).toEqual([]);
});

test.each(["spc", "collector", "simulator"])("%s never compares with NaN, which is always false", (folder) => {
  const strays = sourcesIn(folder).filter((file) => /[=!]==?\s*(?:Number\.)?NaN\b/.test(code(file)));
  expect(strays).toEqual([]);
});

test("no failure is swallowed without a word: beside a catch that does nothing stands why", () => {
  const silent = /\bcatch\s*(?:\([^)]*\))?\s*\{\s*\}|\.catch\(\(\)\s*=>\s*(?:\{\s*\}|undefined|null)\)/;
  const strays = productFolders.flatMap(sourcesIn).flatMap((file) => {
    const lines = readFileSync(file, "utf8").split("\n");
    return lines.flatMap((line, i) => {
      const said = /\/\/|\*\//.test(line) || /^\s*(?:\/\/|\*)/.test(lines[i - 1] ?? "");
      // A wait that is broken off has done all it should.
      return silent.test(line) && !said && !/\bsleep\(/.test(line) ? [`${file}:${i + 1}`] : [];
    });
  });
  expect(strays).toEqual([]);
});

/** The file without its comments. */
function code(file: string): string {
  return readFileSync(file, "utf8")
    .replaceAll(/\/\*[\s\S]*?\*\//g, "")
    .replaceAll(/(^|\s)\/\/.*$/gm, "$1");
}
