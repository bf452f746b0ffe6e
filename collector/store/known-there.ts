import type { ReadingPort } from "./reading-port.ts";

const WINDOW_MS = 3_600_000;

/**
 * Which of some times of a series the long-term store has a reading for. Asked window by window, and only those that
 * hold one of the times: beside a few that came late there may be millions that did not.
 */
export async function knownThere(
  far: Pick<ReadingPort, "read">,
  series: string,
  times: readonly number[],
): Promise<ReadonlySet<number>> {
  const windows = new Map<number, { fromMs: number; toMs: number }>();
  for (const tMs of times) {
    const place = Math.floor(tMs / WINDOW_MS);
    const window = windows.get(place) ?? { fromMs: tMs, toMs: tMs + 1 };
    windows.set(place, { fromMs: Math.min(window.fromMs, tMs), toMs: Math.max(window.toMs, tMs + 1) });
  }
  const wanted = new Set(times);
  const known = new Set<number>();
  for (const window of windows.values()) {
    for (const { tMs } of await far.read({ series, ...window }, { includeLate: true })) {
      if (wanted.has(tMs)) known.add(tMs);
    }
  }
  return known;
}
