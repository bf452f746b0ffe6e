import type { WireFreshness } from "../../api/contract/wire.ts";
import { ageWord } from "./times.ts";

/** Clocks of gateways keep time within seconds; what runs ahead by more is wrong. */
const mostAheadMs = 60_000;
/** Sources that differ from us by the same to within so much have a clock in common, or we have the wrong one. */
const alikeMs = 10_000;

export interface WrongClock {
  readonly source: string;
  /** Below zero: behind. */
  readonly aheadMs: number;
}

/**
 * Sources with a wrong clock, the worst first: as the server found it over minutes, or at once where the newest reading
 * is stamped with a time that has not come yet.
 */
export function wrongClocks(freshness: readonly WireFreshness[], nowMs: number): readonly WrongClock[] {
  const wrong = new Map<string, number>();
  for (const { source, newest, clockWrong } of freshness) {
    const stampedMs = newest === null ? 0 : Date.parse(newest) - nowMs;
    const aheadMs = clockWrong === null ? (stampedMs > mostAheadMs ? stampedMs : 0) : clockWrong * 1_000;
    if (Math.abs(aheadMs) > Math.abs(wrong.get(source) ?? 0)) wrong.set(source, aheadMs);
  }
  return [...wrong]
    .map(([source, aheadMs]) => ({ source, aheadMs }))
    .sort((a, b) => Math.abs(b.aheadMs) - Math.abs(a.aheadMs));
}

/** True where every source that sends differs from us alike: then the wrong clock may be ours. */
export function oursMayBeWrong(wrong: readonly WrongClock[], freshness: readonly WireFreshness[]): boolean {
  const sending = new Set(freshness.flatMap(({ source, newest }) => (newest === null ? [] : [source])));
  const ahead = wrong.map(({ aheadMs }) => aheadMs);
  return wrong.length > 1 && wrong.length === sending.size && Math.max(...ahead) - Math.min(...ahead) < alikeMs;
}

/** `5 min ahead`, `2 h behind`. */
export function offByWords(aheadMs: number): string {
  return `${ageWord(Math.abs(aheadMs))} ${aheadMs > 0 ? "ahead" : "behind"}`;
}
