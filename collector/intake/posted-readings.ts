import type { MessageDecoder, Rejection } from "../decode/decoder.ts";
import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { SampleStore } from "../store/sample-store.ts";

/** Bodies that wait, and their bytes: more are refused, and their sender asks again. */
const MOST_BODIES = 32;
const MOST_BYTES = 8 * 1_048_576;

/** What became of the readings of one body, once they are on disk. */
export interface Posted {
  readonly stored: number;
  readonly duplicate: number;
  /** Of those stored. */
  readonly late: number;
  readonly quarantined: number;
  /** Of those quarantined. */
  readonly rejections: readonly Rejection[];
}

export interface PostedReadings {
  /** `full`: too many wait. A Fault: the store cannot keep it now. Nothing of the body was kept then. */
  take(payload: Uint8Array): Promise<Posted | "full" | Fault>;
  /** What waits is refused. */
  stop(): void;
}

interface Waiting {
  readonly payload: Uint8Array;
  readonly settle: (posted: Posted | Fault) => void;
  /** Our own bug. */
  readonly fail: (error: unknown) => void;
}

/**
 * Takes readings that did not come by a broker. One body a commit, and after each as long a rest as it took, so that
 * messages of the broker, which cannot be told to come again, have at least half of the writer.
 */
export function postedReadings(parts: {
  readonly decoder: MessageDecoder;
  readonly store: SampleStore;
  readonly bus: Bus;
  readonly clock: Clock;
}): PostedReadings {
  const { decoder, store, bus, clock } = parts;
  const waiting: Waiting[] = [];
  const stopping = new AbortController();
  let bytes = 0;
  let busy = false;

  const keep = (payload: Uint8Array): Posted | Fault => {
    const raw = { topic: "POST /api/readings", payload, receivedMs: clock.nowMs(), retained: false, qos: 1 as const };
    const decoded = decoder.decode(raw);
    const before = store.counts();
    try {
      store.commit([{ ...raw, ...decoded }]);
    } catch (error) {
      if (error instanceof Fault) return error;
      throw error;
    }
    bus.announce("samples");
    // Nothing else writes between: a commit runs in one go.
    const after = store.counts();
    return {
      stored: after.stored - before.stored,
      duplicate: after.duplicate - before.duplicate,
      late: after.late - before.late,
      quarantined: after.quarantined - before.quarantined,
      rejections: decoded.rejections,
    };
  };

  const work = async (): Promise<void> => {
    busy = true;
    for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
      const began = performance.now();
      bytes -= next.payload.length;
      try {
        next.settle(keep(next.payload));
      } catch (error) {
        next.fail(error);
      }
      await clock.sleep(Math.ceil(performance.now() - began), stopping.signal);
    }
    busy = false;
  };

  return {
    take: (payload) => {
      if (stopping.signal.aborted) return Promise.resolve(stopped());
      if (waiting.length >= MOST_BODIES || bytes + payload.length > MOST_BYTES) return Promise.resolve("full");
      bytes += payload.length;
      return new Promise((resolve, reject) => {
        waiting.push({ payload, settle: resolve, fail: reject });
        // The only thing that can go wrong in it is that its rest is cut short, and then we are stopping.
        if (!busy) work().catch(() => {});
      });
    },
    stop: () => {
      stopping.abort();
      for (const { settle } of waiting.splice(0)) settle(stopped());
    },
  };
}

function stopped(): Fault {
  return new Fault("store-unavailable", "the product is stopping", { retryable: true });
}
