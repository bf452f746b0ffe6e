import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { nodeOptions } from "../../system/running-process.ts";

export interface Said {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs what was built, as a person would: `npm test` builds before it tests. */
export function study(...words: readonly string[]): Said {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [...nodeOptions, "dist/api/cli/main.js", "study", ...words],
    {
      encoding: "utf8",
      maxBuffer: 2 ** 28,
    },
  );
  return { code: status, out: stdout, err: stderr };
}

/** Puts a text beside the test, and gives its path. */
export function tableIn(folder: string, text: string | Buffer, name = "some.csv"): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

export interface JsonPoint {
  readonly index: number;
  readonly value: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly verdict: string;
  readonly signals: readonly { readonly rule: string; readonly side: string; readonly members: readonly number[] }[];
}

export interface JsonResult {
  readonly n: number;
  readonly charts: readonly {
    readonly kind: string;
    readonly refused?: string;
    readonly centre: number | null;
    readonly sigma: number | null;
    readonly provenance: Readonly<Record<"estimator" | "from" | "to" | "n" | "k", number | string>>;
    readonly points: readonly JsonPoint[];
  }[];
  readonly sigmaWithin: number | null;
  readonly sigmaOverall: number | null;
  readonly diagnostics: Readonly<Record<string, unknown>>;
  readonly changePoints: readonly unknown[];
  readonly capability: Readonly<Record<string, unknown>> | null;
  readonly cautions: readonly { readonly code: string; readonly text: string }[];
  readonly form: string;
  readonly advice: string | null;
}

export function json(...words: readonly string[]): JsonResult {
  const { code, out, err } = study(...words, "--json");
  if (code !== 0) throw new Error(`it ended with ${code}: ${err}`);
  return JSON.parse(out) as JsonResult;
}
