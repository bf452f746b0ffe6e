#!/usr/bin/env node
import { Fault } from "../../collector/platform/fault.ts";
import { check } from "./check.ts";
import { freezeLimits } from "./freeze-limits.ts";
import { importRuns } from "./import-runs.ts";
import { UsageError } from "./usage-error.ts";
import type { Verb } from "./verb.ts";

const verbs: Readonly<Record<string, Verb>> = {
  check,
  "import-runs": importRuns,
  "freeze-limits": freezeLimits,
};

/** Runs one verb; returns the exit code: 0, 1 when the world failed, 2 when the command was wrong. */
async function main(args: readonly string[]): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === "--help" || name === "help") {
    process.stdout.write(overview());
    return name === undefined ? 2 : 0;
  }
  const verb = Object.hasOwn(verbs, name) ? verbs[name] : undefined;
  if (verb === undefined) {
    process.stderr.write(`steadypour: found ${name}, expected one of ${Object.keys(verbs).join(", ")}\n`);
    return 2;
  }
  if (rest.includes("--help")) {
    process.stdout.write(`steadypour ${name} ${verb.form}\n\n${verb.help}\n`);
    return 0;
  }
  try {
    await verb.run(rest, {
      print: (line) => process.stdout.write(`${line}\n`),
      warn: (line) => process.stderr.write(`${line}\n`),
    });
    return 0;
  } catch (error) {
    if (error instanceof UsageError) {
      process.stderr.write(`${error.message}\n`);
      return 2;
    }
    if (!(error instanceof Fault)) throw error;
    process.stderr.write(`steadypour ${name}: ${error.message}\n`);
    return error.code === "environment-invalid" ? 2 : 1;
  }
}

function overview(): string {
  const lines = Object.entries(verbs).map(([name, verb]) => `  ${name.padEnd(15)} ${verb.summary}`);
  return `steadypour VERB ...\n\n${lines.join("\n")}\n\nsteadypour VERB --help tells more\n`;
}

process.exitCode = await main(process.argv.slice(2));
