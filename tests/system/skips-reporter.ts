import type { Reporter, TestModule, Vitest } from "vitest/node";

/**
 * A test that was skipped proves nothing, so each is named with its reason, and with CI=true they make the run fail.
 * A run narrowed by name (`-t`) skips on purpose and is left alone.
 */
export default class SkipsReporter implements Reporter {
  #narrowed = false;

  onInit(vitest: Vitest): void {
    this.#narrowed = vitest.config.testNamePattern !== undefined;
  }

  onTestRunEnd(modules: readonly TestModule[]): void {
    if (this.#narrowed) return;
    const skipped = modules.flatMap((module) =>
      [...module.children.allTests("skipped")].map((test) => {
        const result = test.result();
        const reason = result.state === "skipped" && result.note !== undefined ? result.note : "no reason given";
        return `  ${module.relativeModuleId}: ${test.fullName}: ${reason}`;
      }),
    );
    if (skipped.length === 0) return;
    console.error(`\nSkipped, and so not tested:\n${skipped.join("\n")}`);
    if (process.env["CI"] === "true") process.exitCode = 1;
  }
}
