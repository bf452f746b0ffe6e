import type { RoleSample, Run, RunEvent } from "../../../../spc/model/run.ts";

/** An event or reading of a made-up station, in seconds after 2026-11-25T08:00:00Z. */
export const epochMs: number = Date.UTC(2026, 10, 25, 8);

export function at(
  tS: number,
  role: string,
  value: number | null,
  attributes?: Readonly<Record<string, string>>,
): RoleSample {
  const sample = { series: `S/${role}`, role, tMs: epochMs + tS * 1000, value, quality: "good" } as const;
  return attributes === undefined ? sample : { ...sample, attributes };
}

/** Readings of a role once a second, from one second to another. */
export function everySecond(role: string, fromS: number, toS: number, value: number): readonly RoleSample[] {
  return Array.from({ length: toS - fromS }, (_, i) => at(fromS + i, role, value));
}

export function inTimeOrder(...parts: readonly (readonly RoleSample[])[]): readonly RoleSample[] {
  return parts.flat().toSorted((a, b) => a.tMs - b.tMs);
}

export function closedRuns(events: readonly RunEvent[]): readonly Run[] {
  return events.flatMap((event) => (event.kind === "closed" ? [event.run] : []));
}

/** A run in seconds after the epoch of `at`, as a short line that a test can state. */
export function inShort(run: Run): string {
  const s = (ms: number): number => (ms - epochMs) / 1000;
  const segments = run.segments.map(({ name, fromMs, toMs }) => ` ${name} ${s(fromMs)}-${s(toMs)}`).join("");
  return `${s(run.startMs)}-${s(run.endMs)} ${run.closedBy}${segments}`;
}
