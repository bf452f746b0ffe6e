import { spawn } from "node:child_process";
import { rmSync } from "node:fs";
import { LEDGER_FOLDER } from "./reference/ledger/reference-folder.ts";
import { installMissing } from "./system/install-missing.ts";

/**
 * `npm test`: every check of the project, in order from quick to slow, until one fails. `npm test -- unit e2e` runs
 * only those.
 */
interface Step {
  /** What it can be asked for by: of tests the kinds, which run side by side. */
  readonly names: readonly string[];
  readonly command: readonly string[];
}

const step = (name: string, ...command: readonly string[]): Step => ({ names: [name], command });
const vitest = (kinds: readonly string[], workers: number): Step => ({
  names: kinds,
  command: ["vitest", "run", `--maxWorkers=${workers}`],
});
const steps: readonly Step[] = [
  step("types", "tsc", "-b"),
  step("pages", "vite", "build", "--logLevel", "warn"),
  step("biome", "biome", "ci", "."),
  step("knip", "knip"),
  vitest(["unit", "property", "reference"], 2),
  step("ledger", "node", "dist/tests/reference/ledger/report.js"),
  // Most of their time they wait, for processes and pages that they started: two cores have enough to do with four.
  vitest(["contract", "e2e"], 4),
];

/** A step that takes this long hangs: it is ended, so that a build machine is not held for ever. */
const hangsAfterMs = 30 * 60_000;

process.exitCode = await main(process.argv.slice(2));

async function main(only: readonly string[]): Promise<number> {
  const known = steps.flatMap(({ names }) => names);
  const unknown = only.filter((name) => !known.includes(name));
  if (unknown.length > 0) {
    console.error(`no such step: ${unknown.join(", ")}; there are ${known.join(", ")}`);
    return 2;
  }
  const needs = installMissing(console.log);
  if (!needs.ok) {
    console.error(needs.say);
    return 1;
  }
  const wanted = steps.flatMap((step) => narrowed(step, only));
  const lines: string[] = [];
  const began = performance.now();
  let failed: string | undefined;
  for (const { names, command } of wanted) {
    const name = names.join(", ");
    if (failed !== undefined) {
      lines.push(`  not run  ${name}`);
      continue;
    }
    console.log(`\n== ${name}: ${command.join(" ")}`);
    // What an earlier run asserted must not count for this one.
    if (names.includes("reference")) rmSync(LEDGER_FOLDER, { recursive: true, force: true });
    const from = performance.now();
    const end = await run(command);
    if (end !== "passed") failed = name;
    lines.push(`  ${end.padEnd(7)}  ${name.padEnd(26)} ${seconds(from)}`);
  }
  console.log(`\n${lines.join("\n")}\n  in all   ${" ".repeat(26)} ${seconds(began)}`);
  console.log(failed === undefined ? "\nAll passed." : `\nFailed: ${failed}. What it said stands above.`);
  return failed === undefined ? 0 : 1;
}

/** The step as far as it is asked for: tests of the kinds named, all there are when none is. */
function narrowed({ names, command }: Step, only: readonly string[]): readonly Step[] {
  const asked = names.filter((name) => only.length === 0 || only.includes(name));
  if (asked.length === 0) return [];
  const folders = command[0] === "vitest" ? asked.map((kind) => `tests/${kind}/`) : [];
  return [{ names: asked, command: [...command, ...folders] }];
}

function seconds(fromMs: number): string {
  return `${((performance.now() - fromMs) / 1000).toFixed(1).padStart(6)} s`;
}

function run(command: readonly string[]): Promise<"passed" | "failed" | "hung"> {
  const [name, ...words] = command;
  return new Promise((resolve) => {
    // Its own process group, so that a step which hangs is ended with all it started.
    const child = spawn(name === "node" ? process.execPath : `node_modules/.bin/${name}`, words, {
      stdio: ["ignore", "inherit", "inherit"],
      detached: true,
    });
    const endGroup = (signal: NodeJS.Signals): void => {
      if (child.pid !== undefined) process.kill(-child.pid, signal);
    };
    let hung = false;
    const timer = setTimeout(() => {
      hung = true;
      endGroup("SIGKILL");
    }, hangsAfterMs);
    const interrupted = (): void => {
      endGroup("SIGTERM");
      process.exit(130);
    };
    process.once("SIGINT", interrupted).once("SIGTERM", interrupted);
    const finish = (end: "passed" | "failed" | "hung"): void => {
      clearTimeout(timer);
      process.off("SIGINT", interrupted).off("SIGTERM", interrupted);
      resolve(end);
    };
    child.once("error", (error) => {
      console.error(`${name} could not be started (run npm ci first): ${error.message}`);
      finish("failed");
    });
    child.once("exit", (code) => finish(hung ? "hung" : code === 0 ? "passed" : "failed"));
  });
}
