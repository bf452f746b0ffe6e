import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { sourcesIn } from "./source-files.ts";

/** Folders whose numbers an engineer may have to defend: unit and source stand beside each. */
const numeric = [
  "stats",
  "sigma",
  "factors",
  "charts",
  "drawn",
  "rules",
  "price",
  "changepoint",
  "normality",
  "models",
  "phase1",
  "capability",
  "gauge",
  "features",
  "segment",
  "physics",
  "health",
].map((folder) => `spc/${folder}`);

test.each(numeric)("every exported function of %s states its unit and its source", (folder) => {
  // The core grows folder by folder; what is not there yet has nothing to state.
  const files = existsSync(folder) ? sourcesIn(folder) : [];
  const lacking = files.flatMap((file) =>
    exported(file)
      .filter(({ docstring }) => !/@unit\s+\S/.test(docstring) || !/@source\s+\S/.test(docstring))
      .map(({ name }) => `${file}: ${name}`),
  );
  expect(lacking).toEqual([]);
});

test("the tests that docstrings point to are there", () => {
  const lost = sourcesIn("spc").flatMap((file) =>
    [...readFileSync(file, "utf8").matchAll(/tests\/[\w./-]+\.tsx?/g)]
      .map(([path]) => path)
      .filter((path) => !existsSync(path))
      .map((path) => `${file} -> ${path}`),
  );
  expect(lost).toEqual([]);
});

/** Exported functions, and exported constants that hold one, each with the docstring right above it. */
function exported(file: string): { readonly name: string; readonly docstring: string }[] {
  const text = readFileSync(file, "utf8");
  const declaration =
    /^export (?:function\*? (\w+)|const (\w+)(?::[^=\n]*)? = (?:\([^)]*\)|\w+)(?::[^=\n]*)? =>|const (\w+): (?:FeatureExtractor|Chart)\b)/gm;
  return [...text.matchAll(declaration)].map((match) => {
    const above = text.slice(0, match.index);
    const docstring = /\/\*\*(?:(?!\*\/)[\s\S])*\*\/\s*$/.exec(above)?.[0] ?? "";
    return { name: (match[1] ?? match[2] ?? match[3])!, docstring };
  });
}
