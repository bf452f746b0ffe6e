import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { sourcesIn } from "./source-files.ts";

// Codes are what callers and people hold on to: each that the sources can give stands in DEVELOPERS.md, and no other.
const folders = ["spc", "collector", "api", "simulator"];
const sources = folders.flatMap(sourcesIn).map((file) => ({ file, text: readFileSync(file, "utf8") }));
const documented = documentedCodes(readFileSync("DEVELOPERS.md", "utf8"));

test("every code that the sources give is documented", () => {
  const given = sources.flatMap(({ file, text }) =>
    [
      ...text.matchAll(/\b(?:(?:refuse|reject|Problem|Fault)\(\s*(?:[\w.]+,\s*)?|code(?::| =) )"([a-z][a-z0-9-]*)"/g),
    ].map(([, code]) => ({ file, code: code! })),
  );
  expect(given.filter(({ code }) => !documented.includes(code)).map(({ file, code }) => `${file}: ${code}`)).toEqual(
    [],
  );
  expect(given.length).toBeGreaterThan(60);
});

test("every documented code is given somewhere", () => {
  const all = sources.map(({ text }) => text).join("\n");
  expect(documented.filter((code) => !all.includes(`"${code}"`))).toEqual([]);
});

test("a code stands in its table once", () => {
  for (const table of codeTables(readFileSync("DEVELOPERS.md", "utf8"))) {
    expect(new Set(table).size, String(table)).toBe(table.length);
  }
});

function documentedCodes(text: string): string[] {
  return codeTables(text).flat();
}

/** First columns of the tables between "## Codes" and the next heading of its rank. */
function codeTables(text: string): string[][] {
  const section = /^## Codes$([\s\S]*?)^## /m.exec(text)?.[1] ?? "";
  return section.split(/^### /m).map((part) => [...part.matchAll(/^\| `([a-z0-9-]+)` \|/gm)].map(([, code]) => code!));
}
