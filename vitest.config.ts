import { defineConfig } from "vitest/config";
import LongestFirst from "./tests/system/longest-first.ts";

export default defineConfig({
  test: {
    include: ["tests/{unit,property,reference,contract,e2e}/**/*.test.{ts,tsx}"],
    setupFiles: ["./tests/system/fixed-seed.ts"],
    reporters: ["default", "./tests/system/skips-reporter.ts"],
    // On two cores vitest would take one worker; much of the time tests wait for other processes.
    maxWorkers: 2,
    // Most of what tests make is thrown away at once: more room for it saves a fourteenth of the time of simulated plants.
    execArgv: ["--max-semi-space-size=64"],
    // Files share a process and what it has loaded: to load it anew for each takes longer than most of them.
    isolate: false,
    sequence: { sequencer: LongestFirst },
    testTimeout: 180_000,
    hookTimeout: 180_000,
    // What another process or a page does in its own time, on a machine that does other things as well.
    expect: { poll: { timeout: 60_000 } },
  },
});
