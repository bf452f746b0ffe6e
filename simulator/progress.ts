import { readFileSync, renameSync, writeFileSync } from "node:fs";
import { type Source, sources } from "./plant-layout.ts";

/** How far a gateway's messages were acknowledged: all readings before `untilMs`, and the number of the next message. */
export interface Reached {
  readonly untilMs: number;
  readonly seq: number;
}

export type Progress = Readonly<Record<Source, Reached>>;

/** Where each gateway goes on: at what it last had acknowledged, though never further back than `backMs`. */
export function readProgress(file: string | null, fromMs: number, nowMs: number, backMs: number): Progress {
  const known = file === null ? {} : knownIn(file);
  const entries = sources.map((source): [Source, Reached] => {
    const reached = known[source];
    if (reached === undefined) return [source, { untilMs: fromMs, seq: 0 }];
    return [source, { untilMs: Math.max(reached.untilMs, nowMs - backMs), seq: reached.seq }];
  });
  return Object.fromEntries(entries) as Record<Source, Reached>;
}

/** Replaces the file at once, so that it never stands half written. */
export function writeProgress(file: string, progress: Progress): void {
  const entries = Object.entries(progress).map(([source, { untilMs, seq }]) => [
    source,
    { until: new Date(untilMs).toISOString(), seq },
  ]);
  writeFileSync(`${file}.new`, `${JSON.stringify(Object.fromEntries(entries), null, 2)}\n`);
  renameSync(`${file}.new`, file);
}

function knownIn(file: string): Partial<Record<Source, Reached>> {
  let text: string;
  try {
    text = readFileSync(file, "utf8");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return {};
    throw error;
  }
  const found = JSON.parse(text) as Record<string, { until: string; seq: number }>;
  const entries = sources.flatMap((source): [Source, Reached][] => {
    const entry = found[source];
    if (entry === undefined) return [];
    const untilMs = Date.parse(entry.until);
    if (Number.isNaN(untilMs) || !Number.isSafeInteger(entry.seq)) {
      throw new Error(`${file}: cannot read how far ${source} was, expected { until, seq }`);
    }
    return [[source, { untilMs, seq: entry.seq }]];
  });
  return Object.fromEntries(entries) as Partial<Record<Source, Reached>>;
}
