import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["tests/{unit,property,reference,contract,e2e}/**/*.test.{ts,tsx}"],
    reporters: ["default", "./tests/system/skips-reporter.ts"],
    testTimeout: 30_000,
    hookTimeout: 60_000,
  },
});
