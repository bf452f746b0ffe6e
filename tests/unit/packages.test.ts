import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { packageOwners } from "./package-owners.ts";
import { importsOf, productFolders, sourcesIn } from "./source-files.ts";

/** Folders that never run in Node alone, or must not depend on it. */
const withoutNode = ["spc", "api/contract", "dashboard"];

const { dependencies } = JSON.parse(readFileSync("package.json", "utf8")) as { dependencies: Record<string, string> };
const files = productFolders.flatMap(sourcesIn);

test("a package is used only in the folders that own it", () => {
  const strays = files.flatMap((file) =>
    packagesOf(file)
      .filter((name) => !name.startsWith("node:"))
      .filter((name) => !(packageOwners[name] ?? []).some((owner) => file === owner || file.startsWith(`${owner}/`)))
      .map((name) => `${file} -> ${name}`),
  );
  expect(strays).toEqual([]);
});

test("the core, the contract and the pages use nothing of Node", () => {
  const strays = files
    .filter((file) => withoutNode.some((folder) => file.startsWith(`${folder}/`)))
    .flatMap((file) =>
      packagesOf(file)
        .filter((name) => name.startsWith("node:"))
        .map((name) => `${file} -> ${name}`),
    );
  expect(strays).toEqual([]);
});

test("Node's own modules are named with their prefix", () => {
  const bare = new Set([
    "fs",
    "path",
    "os",
    "http",
    "crypto",
    "url",
    "events",
    "util",
    "net",
    "child_process",
    "stream",
  ]);
  expect(files.flatMap((file) => importsOf(file).filter((name) => bare.has(name)))).toEqual([]);
});

test("each package of production has an owner, and each owner's package is one of production", () => {
  expect(Object.keys(packageOwners).sort()).toEqual(Object.keys(dependencies).sort());
});

test("each package of production is pinned to one version", () => {
  const loose = Object.entries(dependencies).filter(([, version]) => !/^\d+\.\d+\.\d+$/.test(version));
  expect(loose).toEqual([]);
});

/** Package names of a file's imports, without the path inside the package. */
function packagesOf(file: string): string[] {
  return importsOf(file)
    .filter((specifier) => !specifier.startsWith("."))
    .map((specifier) =>
      specifier
        .split("/")
        .slice(0, specifier.startsWith("@") ? 2 : 1)
        .join("/"),
    );
}
