#!/usr/bin/env node
import { Fault } from "../../collector/platform/fault.ts";
import { UsageError } from "./usage-error.ts";
import type { Verb } from "./verb.ts";

/** Each verb is loaded when it is asked for: a study needs neither a database nor settings. */
const verbs: Readonly<Record<string, () => Promise<Verb>>> = {
  check: async () => (await import("./check.ts")).check,
  import: async () => (await import("./import.ts")).importReadings,
  "import-runs": async () => (await import("./import-runs.ts")).importRuns,
  "freeze-limits": async () => (await import("./freeze-limits.ts")).freezeLimits,
  "hear-collector": async () => (await import("./hear-collector.ts")).hearCollector,
  backup: async () => (await import("./backup.ts")).backup,
  "hash-password": async () => (await import("./hash-password.ts")).hashPasswordVerb,
  "hash-pin": async () => (await import("./hash-pin.ts")).hashPinVerb,
  record: async () => (await import("./record.ts")).record,
  replay: async () => (await import("./replay.ts")).replay,
  restore: async () => (await import("./restore.ts")).restore,
  "write-down": async () => (await import("./write-down.ts")).writeDown,
  account: async () => (await import("./account.ts")).accountVerb,
  "verify-record": async () => (await import("./verify-record.ts")).verifyRecord,
  study: async () => (await import("./study.ts")).study,
};

/** Runs one verb; returns the exit code: 0, 1 when the world failed, 2 when the command was wrong. */
async function main(args: readonly string[]): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === "--help" || name === "help") {
    process.stdout.write(await overview());
    return name === undefined ? 2 : 0;
  }
  const load = Object.hasOwn(verbs, name) ? verbs[name] : undefined;
  if (load === undefined) {
    process.stderr.write(`steadypour: found ${name}, expected one of ${Object.keys(verbs).join(", ")}\n`);
    return 2;
  }
  const verb = await load();
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

async function overview(): Promise<string> {
  const lines: string[] = [];
  for (const [name, load] of Object.entries(verbs)) lines.push(`  ${name.padEnd(15)} ${(await load()).summary}`);
  return `steadypour VERB ...\n\n${lines.join("\n")}\n\nsteadypour VERB --help tells more\n`;
}

process.exitCode = await main(process.argv.slice(2));
