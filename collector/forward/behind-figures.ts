import { setImmediate as turn } from "node:timers/promises";
import type { SampleStore } from "../store/sample-store.ts";

export interface BehindFigures {
  /** Readings that have not gone yet; counted by the hour where they reach back for days. */
  readonly behindReadings: number;
  /** From the oldest of them to the newest reading of its series, in source time. */
  readonly behindSeconds: number;
}

const BY_HOUR_FROM_MS = 2 * 86_400_000;
/** Series counted in one turn of the event loop. */
const AT_ONCE = 2;
const NOTES = 100;

/** How far the long-term store is behind, a little at a time. */
export async function behindOf(store: SampleStore): Promise<BehindFigures> {
  let [readings, seconds, counted] = [0, 0, 0];
  const count = (series: string, fromMs: number, toMs: number): number => {
    if (toMs <= fromMs) return 0;
    return store.count({ series, fromMs, toMs }, toMs - fromMs > BY_HOUR_FROM_MS);
  };
  for (const series of store.seriesNames()) {
    const untilMs = store.forwarding.until(series);
    const lastMs = store.latest(series)?.tMs;
    if (lastMs === undefined || lastMs <= untilMs) continue;
    const fromMs = untilMs === Number.NEGATIVE_INFINITY ? (store.forwarding.oldestMs(series) ?? lastMs) : untilMs + 1;
    readings += count(series, fromMs, lastMs + 1);
    seconds = Math.max(seconds, (lastMs - fromMs) / 1000);
    counted += 1;
    if (counted % AT_ONCE === 0) await turn();
  }
  for (const { series, fromMs, toMs } of store.forwarding.behind(NOTES)) readings += count(series, fromMs, toMs + 1);
  return { behindReadings: readings, behindSeconds: seconds };
}
