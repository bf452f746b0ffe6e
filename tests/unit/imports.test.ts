import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { importsOf, productFolders, sourcesIn, targetOf } from "./source-files.ts";

/** Who may import whom: the architecture, in one table. The longest folder that a file lies in rules it. */
const mayImport: Readonly<Record<string, readonly string[]>> = {
  spc: ["spc"],
  collector: ["collector", "spc"],
  "api/contract": ["api/contract", "spc"],
  api: ["api", "spc", "collector/store", "collector/platform", "collector/start.ts"],
  "api/cli": ["api", "spc", "collector/store", "collector/platform", "collector/start.ts", "dashboard/marks"],
  dashboard: ["dashboard", "spc", "api/contract"],
  simulator: ["simulator", "spc/model", "spc/units"],
};

const files = productFolders.flatMap(sourcesIn);

test.each(Object.entries(mayImport))("%s imports only from %j", (folder, allowed) => {
  const strays = files
    .filter((file) => ruling(file) === folder)
    .flatMap((file) =>
      importsOf(file)
        .filter((specifier) => specifier.startsWith("."))
        .map((specifier) => targetOf(file, specifier))
        .filter((target) => !allowed.some((root) => target === root || target.startsWith(`${root}/`)))
        .map((target) => `${file} -> ${target}`),
    );
  expect(strays).toEqual([]);
});

test("every source of the product lies in a folder of the table", () => {
  expect(files.filter((file) => ruling(file) === undefined)).toEqual([]);
  expect(files.length).toBeGreaterThan(0);
});

test("an import names the very file that holds the thing", () => {
  const strays = [...files, ...sourcesIn("tests")].flatMap((file) =>
    importsOf(file)
      .filter((specifier) => specifier.startsWith("."))
      .filter((specifier) => !/\.(tsx?|json|css)$/.test(specifier) || !existsSync(targetOf(file, specifier)))
      .map((specifier) => `${file} -> ${specifier}`),
  );
  expect(strays).toEqual([]);
});

test("no file re-exports what another file holds", () => {
  const barrels = files.filter((file) =>
    /^export\s+(\*|(type\s+)?\{[^}]*\})\s+from\b/m.test(readFileSync(file, "utf8")),
  );
  expect(barrels).toEqual([]);
});

function ruling(file: string): string | undefined {
  return Object.keys(mayImport)
    .filter((folder) => file.startsWith(`${folder}/`))
    .sort((a, b) => b.length - a.length)[0];
}
