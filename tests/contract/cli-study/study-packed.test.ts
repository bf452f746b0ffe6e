import { execFileSync } from "node:child_process";
import { chmodSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { temporaryFolder } from "../../temporary-folder.ts";

/**
 * What a study needs must be in the package. `npm install` of the packed file would ask a registry about every
 * dependency, which a test must not need; so the file is taken apart as npm would do it, and of what the package
 * depends on only that is put beside it which a study may load: no database, no web server, no broker.
 */
const folder = temporaryFolder();
const empty = join(folder.path, "empty");
const installed = join(folder.path, "node_modules");

interface LockedPackage {
  readonly dev?: boolean;
  readonly dependencies?: Readonly<Record<string, string>>;
}

const locked = (JSON.parse(readFileSync("package-lock.json", "utf8")) as { packages: Record<string, LockedPackage> })
  .packages;

const studyMayLoad = /^(@stdlib\/|d3-(scale|shape)$|fft\.js$|ml-matrix$|preact$|preact-render-to-string$)/;

beforeAll(() => {
  // The build lies in dist already: scripts would build it again.
  const words = ["pack", "--ignore-scripts", "--json", "--pack-destination", folder.path];
  const [packed] = JSON.parse(execFileSync("npm", words, { encoding: "utf8" })) as [{ filename: string }];
  const place = join(installed, "steadypour");
  mkdirSync(place, { recursive: true });
  mkdirSync(empty);
  execFileSync("tar", ["xzf", join(folder.path, packed.filename), "-C", place, "--strip-components=1"]);
  mkdirSync(join(installed, ".bin"));
  // npm makes what `bin` names a program when it installs a package.
  chmodSync(join(place, "dist", "api", "cli", "main.js"), 0o755);
  symlinkSync("../steadypour/dist/api/cli/main.js", join(installed, ".bin", "steadypour"));
  const roots = Object.keys(locked[""]?.dependencies ?? {}).filter((name) => studyMayLoad.test(name));
  for (const name of closure(roots)) {
    mkdirSync(dirname(join(installed, name)), { recursive: true });
    symlinkSync(resolve("node_modules", name), join(installed, name));
  }
});
afterAll(() => folder.remove());

/** Packages with all that they depend on, where they lie at the top of node_modules. */
function closure(names: readonly string[]): ReadonlySet<string> {
  const all = new Set<string>();
  const add = (name: string): void => {
    if (all.has(name) || locked[`node_modules/${name}`] === undefined) return;
    all.add(name);
    Object.keys(locked[`node_modules/${name}`]?.dependencies ?? {}).forEach(add);
  };
  names.forEach(add);
  return all;
}

test("npx steadypour study works in an empty folder from the packed file, with nothing of the product running", () => {
  const rows = Array.from({ length: 40 }, (_, at) => (10 + Math.sin(at * 7.3)).toFixed(3));
  writeFileSync(join(empty, "shots.csv"), `w\n${rows.join("\n")}\n`);
  const command = ["steadypour", "study"];
  const npx = (...words: readonly string[]): string =>
    execFileSync("npx", ["--offline", "--no", ...command, ...words], { cwd: empty, encoding: "utf8" });
  const result = JSON.parse(npx("shots.csv", "--value", "w", "--json")) as { n: number };
  expect(result.n).toBe(40);
  expect(npx("shots.csv", "--value", "w", "--html", "a.html", "--svg", "a.svg")).toContain("Diagnostics");
  expect(readdirSync(empty).sort()).toEqual(["a.html", "a.svg", "shots.csv"]);
});

test("the packed file holds no tests", () => {
  expect(readdirSync(join(installed, "steadypour", "dist"))).not.toContain("tests");
  expect(readdirSync(join(installed, "steadypour"))).toContain("dist");
});
