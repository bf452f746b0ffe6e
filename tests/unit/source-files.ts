import { readdirSync, readFileSync } from "node:fs";
import { dirname, posix, relative, resolve, sep } from "node:path";

/** Folders that make up the product; `tests` stands apart, because it may import everything. */
export const productFolders = ["spc", "collector", "api", "dashboard", "simulator"];

const notOurs = new Set(["node_modules", "dist", "data", "test-results", ".git", ".steadypour"]);

/** Every file below a folder with one of the endings, as a path from the project's root with forward slashes. */
export function filesIn(folder: string, endings: readonly string[]): string[] {
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => !notOurs.has(entry.name))
    .flatMap((entry) => {
      const path = posix.join(folder, entry.name);
      if (entry.isDirectory()) return filesIn(path, endings);
      return endings.some((ending) => entry.name.endsWith(ending)) ? [path] : [];
    })
    .sort();
}

export function sourcesIn(folder: string): string[] {
  return filesIn(folder, [".ts", ".tsx"]);
}

/** What stands between the quotes of each import of a file. The formatter guarantees double quotes. */
export function importsOf(file: string): string[] {
  const specifiers = readFileSync(file, "utf8").matchAll(/\b(?:from\s+|import\s+|import\(\s*)"([^"\n]+)"/g);
  return [...specifiers].map(([, specifier]) => specifier!);
}

/** The project's path that a relative import of a file leads to. */
export function targetOf(file: string, specifier: string): string {
  return relative(".", resolve(dirname(file), specifier)).replaceAll(sep, "/");
}
