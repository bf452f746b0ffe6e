import { spawn } from "node:child_process";
import { rmSync } from "node:fs";
import { LEDGER_FOLDER } from "./reference/ledger/reference-folder.ts";
import { installMissing } from "./system/install-missing.ts";

/**
 * `npm test`: every check of the project, in order from quick to slow, until one fails. `npm test -- unit e2e` runs
 * only those.
 */
interface Step {
  readonly name: string;
  readonly command: readonly string[];
}

const vitest = (kind: string, ...more: readonly string[]): Step => ({
  name: kind,
  command: ["vitest", "run", `tests/${kind}/`, ...more],
});
const steps: readonly Step[] = [
  { name: "types", command: ["tsc", "-b"] },
  { name: "pages", command: ["vite", "build", "--logLevel", "warn"] },
  { name: "biome", command: ["biome", "ci", "."] },
  { name: "knip", command: ["knip"] },
  vitest("unit"),
  vitest("property"),
  vitest("reference"),
  { name: "ledger", command: ["node", "dist/tests/reference/ledger/report.js"] },
  // Much of their time they wait for processes that they started: on two cores a third worker uses what is left.
  vitest("contract", "--maxWorkers=3"),
  vitest("e2e"),
];

/** A step that takes this long hangs: it is ended, so that a build machine is not held for ever. */
const hangsAfterMs = 30 * 60_000;

process.exitCode = await main(process.argv.slice(2));

async function main(only: readonly string[]): Promise<number> {
  const unknown = only.filter((name) => !steps.some((step) => step.name === name));
  if (unknown.length > 0) {
    console.error(`no such step: ${unknown.join(", ")}; there are ${steps.map((step) => step.name).join(", ")}`);
    return 2;
  }
  const needs = installMissing(console.log);
  if (!needs.ok) {
    console.error(needs.say);
    return 1;
  }
  const wanted = steps.filter((step) => only.length === 0 || only.includes(step.name));
  const lines: string[] = [];
  const began = performance.now();
  let failed: string | undefined;
  for (const step of wanted) {
    if (failed !== undefined) {
      lines.push(`  not run  ${step.name}`);
      continue;
    }
    console.log(`\n== ${step.name}: ${step.command.join(" ")}`);
    // What an earlier run asserted must not count for this one.
    if (step.name === "reference") rmSync(LEDGER_FOLDER, { recursive: true, force: true });
    const from = performance.now();
    const end = await run(step.command);
    if (end !== "passed") failed = step.name;
    lines.push(`  ${end.padEnd(7)}  ${step.name.padEnd(10)} ${seconds(from)}`);
  }
  console.log(`\n${lines.join("\n")}\n  in all   ${" ".repeat(10)} ${seconds(began)}`);
  console.log(failed === undefined ? "\nAll passed." : `\nFailed: ${failed}. What it said stands above.`);
  return failed === undefined ? 0 : 1;
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
