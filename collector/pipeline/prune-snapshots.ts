import type { Run } from "../../spc/model/run.ts";
import type { Station } from "../platform/settings/site.ts";
import type { SampleStore } from "../store/sample-store.ts";

/** The charted part of a run lies in its last seconds: the snapshot kept is the newest of them. */
const KEPT_WITHIN_MS = 15_000;

/** Keeps one raw snapshot of each waveform a run, out of the last part of it, and none from between runs. */
export function pruneSnapshots(store: SampleStore, station: Station, run: Run, formerEndMs: number | null): void {
  const endMs = run.segments.at(-1)?.toMs ?? run.endMs;
  for (const { id: series, kind } of Object.values(station.series)) {
    if (kind !== "waveform") continue;
    const last = store
      .snapshots({ series, fromMs: Math.max(run.startMs, endMs - KEPT_WITHIN_MS), toMs: endMs })
      // The one that begins last may reach beyond the end.
      .findLast((one) => one.tMs + (one.samples.length / 2 / one.rateHz) * 1000 <= endMs + 1);
    const fromMs = formerEndMs ?? Number.MIN_SAFE_INTEGER;
    store.pruneSnapshots({ series, fromMs, toMs: run.endMs }, last?.tMs ?? null);
  }
}
