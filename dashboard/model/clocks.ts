import type { WireFreshness } from "../../api/contract/wire.ts";

/** Clocks of gateways keep time within seconds; what runs ahead by more is wrong. */
const mostAheadMs = 60_000;

export interface WrongClock {
  readonly source: string;
  readonly aheadMs: number;
}

/**
 * Sources whose newest reading is stamped with a time that has not come yet, the farthest ahead first. One that lags
 * looks like one that is catching up, and is told as that.
 */
export function clocksAhead(freshness: readonly WireFreshness[], nowMs: number): readonly WrongClock[] {
  const ahead = new Map<string, number>();
  for (const { source, newest } of freshness) {
    const by = newest === null ? 0 : Date.parse(newest) - nowMs;
    if (by > Math.max(mostAheadMs, ahead.get(source) ?? 0)) ahead.set(source, by);
  }
  return [...ahead].map(([source, aheadMs]) => ({ source, aheadMs })).sort((a, b) => b.aheadMs - a.aheadMs);
}
