/** How much a page may leave unread before it is spared a frame, and before it is dropped. */
export interface SocketBudget {
  readonly skipBytes: number;
  readonly dropBytes: number;
  readonly dropMs: number;
}

export const socketBudget: SocketBudget = { skipBytes: 256 * 1024, dropBytes: 2 * 1024 * 1024, dropMs: 10_000 };

/**
 * What to do with a reader that has `unread` bytes waiting. A skipped frame loses nothing: the next one covers its
 * journal entries as well. A reader dropped comes back and resumes from what it last saw.
 */
export function frameFor(
  unread: number,
  skippingSinceMs: number | null,
  nowMs: number,
  budget: SocketBudget,
): "send" | "skip" | "drop" {
  if (unread > budget.dropBytes) return "drop";
  if (unread <= budget.skipBytes) return "send";
  return skippingSinceMs !== null && nowMs - skippingSinceMs >= budget.dropMs ? "drop" : "skip";
}
