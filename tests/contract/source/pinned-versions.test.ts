import { readFileSync } from "node:fs";
import { expect, test } from "vitest";

/**
 * Holding acknowledgements back leans on what these versions do inside. A new one may be taken when the tests of this
 * folder, the trace of system calls and the kill test pass with it: then change the version here.
 */
test.each([
  ["mqtt", "5.16.0"],
  ["aedes", "1.2.0"],
])("%s is the version that was tried: %s", (name, version) => {
  expect(JSON.parse(readFileSync(`node_modules/${name}/package.json`, "utf8")).version).toBe(version);
});
