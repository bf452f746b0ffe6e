/** Looks further apart than this: we stood still, and what was sent meanwhile may lie unread. */
const STOOD_STILL_MS = 5_000;

/** How long we listened and heard nothing new: time in which we did not look is nobody's silence. */
export interface Listened {
  look(nowMs: number): void;
  /** Time listened since `lastMs`, the last that is known of somebody, was first seen to be that. */
  quietMs(of: string, lastMs: number): number;
}

export function listened(): Listened {
  const known = new Map<string, { readonly lastMs: number; readonly seenMs: number }>();
  let lookedMs: number | null = null;
  let listenedMs = 0;
  return {
    look: (nowMs) => {
      const apartMs = nowMs - (lookedMs ?? nowMs);
      if (apartMs > 0 && apartMs <= STOOD_STILL_MS) listenedMs += apartMs;
      lookedMs = nowMs;
    },
    quietMs: (of, lastMs) => {
      const before = known.get(of);
      if (before?.lastMs === lastMs) return listenedMs - before.seenMs;
      known.set(of, { lastMs, seenMs: listenedMs });
      return 0;
    },
  };
}
