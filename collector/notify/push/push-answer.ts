/** What to do about what a push service answered. */
export type PushOutcome =
  | { readonly kind: "accepted" }
  /** The device is gone: its subscription is deleted. */
  | { readonly kind: "gone" }
  /** Our defect: never sent again, told to the administrator. */
  | { readonly kind: "our-fault"; readonly status: number }
  /** Key, clock or contact: no message can leave this way until it is put right. */
  | { readonly kind: "not-allowed"; readonly status: number }
  | { readonly kind: "again"; readonly afterMs: number };

/** Waits between attempts, before jitter; after the last the message is given up. */
const waitsMs = [2_000, 10_000, 30_000] as const;
/** A service that asks for more patience than a message lives is not waited for. */
const LONGEST_WAIT_MS = 3_600_000;

/**
 * Reads an answer of a push service; `status` null stands for none within the time. `attempt` counts from 0. Null when
 * all attempts are used up.
 */
export function pushOutcome(
  status: number | null,
  retryAfter: string | null,
  attempt: number,
  nowMs: number,
): PushOutcome | null {
  if (status === 200 || status === 201 || status === 202) return { kind: "accepted" };
  if (status === 404 || status === 410) return { kind: "gone" };
  if (status === 401 || status === 403) return { kind: "not-allowed", status };
  const later = status === null || status === 429 || status >= 500;
  if (!later) return { kind: "our-fault", status };
  const own = waitsMs[attempt];
  if (own === undefined) return null;
  return { kind: "again", afterMs: Math.max(own, retryAfterMs(retryAfter, nowMs)) };
}

/** RFC 9110 section 10.2.3: seconds, or a date. */
function retryAfterMs(text: string | null, nowMs: number): number {
  if (text === null) return 0;
  const ms = /^\d+$/.test(text.trim()) ? Number(text) * 1000 : Date.parse(text) - nowMs;
  return Number.isFinite(ms) ? Math.min(Math.max(ms, 0), LONGEST_WAIT_MS) : 0;
}
