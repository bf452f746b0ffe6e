import { readFileSync } from "node:fs";
import { expect } from "vitest";

/**
 * Property tests draw the same examples each time, so that a red build tells of the change and not of the day.
 * `EXPLORE=1 npx vitest run tests/property` draws new ones; what it finds becomes a unit test.
 */
const SEED = 20_261_125;

const file = expect.getState().testPath;
if (file === undefined) throw new Error("vitest no longer says which file it runs");
// Loading fast-check costs more than most files take, so only those that use it pay for it.
if (process.env["EXPLORE"] !== "1" && readFileSync(file, "utf8").includes('from "fast-check"')) {
  const { default: fc } = await import("fast-check");
  fc.configureGlobal({ seed: SEED });
}
