import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";

/** Licences that let the product be passed on under MIT, on no other terms than keeping their notice. */
const welcome = new Set([
  "MIT",
  "MIT-0",
  "ISC",
  "BSD-2-Clause",
  "BSD-3-Clause",
  "Apache-2.0",
  "OFL-1.1",
  "0BSD",
  "BSL-1.0",
  "BlueOak-1.0.0",
  "Unlicense",
  "CC0-1.0",
]);

interface LockEntry {
  readonly dev?: boolean;
  readonly devOptional?: boolean;
  readonly hasInstallScript?: boolean;
}

const lock = JSON.parse(readFileSync("package-lock.json", "utf8")) as { packages: Record<string, LockEntry> };
const manifest = JSON.parse(readFileSync("package.json", "utf8")) as { allowScripts: Record<string, boolean> };

const shipped = Object.entries(lock.packages)
  .filter(([path, entry]) => path !== "" && entry.dev !== true && entry.devOptional !== true)
  // Optional packages of other platforms are in the lock file, but not on this machine.
  .filter(([path]) => existsSync(`${path}/package.json`));

test("every package that ships with the product has a licence that goes with MIT", () => {
  const others = shipped
    .map(([path]) => ({ path, licence: licenceOf(path) }))
    .filter(({ licence }) => !goesWithMit(licence))
    .map(({ path, licence }) => `${path}: ${licence}`);
  expect(others).toEqual([]);
  expect(shipped.length).toBeGreaterThan(20);
});

test("no package that ships runs a script at install, but for those approved in package.json", () => {
  const scripted = shipped
    .filter(([, entry]) => entry.hasInstallScript === true)
    .map(([path]) => path.replace(/^.*node_modules\//, ""));
  expect(scripted.filter((name) => manifest.allowScripts[name] !== true)).toEqual([]);
});

test("our own licence stands in the checkout", () => {
  expect(readFileSync("LICENSE", "utf8")).toMatch(/^MIT License/);
});

function licenceOf(path: string): string {
  const { license, licenses } = JSON.parse(readFileSync(`${path}/package.json`, "utf8")) as {
    license?: string | { type: string };
    licenses?: readonly { type: string }[];
  };
  if (typeof license === "string") return license;
  return license?.type ?? licenses?.map(({ type }) => type).join(" OR ") ?? "none stated";
}

/** Of "(MIT OR Apache-2.0)" either will do; of "Apache-2.0 AND BSL-1.0" both must. */
function goesWithMit(licence: string): boolean {
  const choices = licence.replace(/^\((.*)\)$/, "$1").split(" OR ");
  return choices.some((choice) => choice.split(" AND ").every((name) => welcome.has(name)));
}
