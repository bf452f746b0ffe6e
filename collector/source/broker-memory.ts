import { Fault } from "../platform/fault.ts";
import type { Log } from "../platform/log.ts";
import type { SampleStore } from "../store/sample-store.ts";

/** How often something befell us since the data folder was made, and when last; null for never. */
export interface Happened {
  readonly count: number;
  readonly lastMs: number | null;
}

/** What must outlive a restart of ours, so that we know what a broker forgot or dropped meanwhile. */
export interface BrokerMemory {
  /** Client id and address of the session that we had last; null before the first. */
  readonly session: string | null;
  /** What that session is subscribed to. */
  readonly topics: readonly string[];
  readonly sessionsLost: Happened;
  readonly takenOver: Happened;
  /** Messages that the broker dropped, of any of its clients; null where it does not say. */
  readonly dropped: Happened | null;
  /** Where the broker's own count stood; null while it is not known. */
  readonly droppedAt: number | null;
}

export interface BrokerMemoryBook {
  now(): BrokerMemory;
  change(part: Partial<BrokerMemory>): void;
}

const NAME = "broker";
const NONE: BrokerMemory = {
  session: null,
  topics: [],
  sessionsLost: { count: 0, lastMs: null },
  takenOver: { count: 0, lastMs: null },
  dropped: null,
  droppedAt: null,
};

export function brokerMemory(store: Pick<SampleStore, "remembered" | "remember">, log: Log): BrokerMemoryBook {
  let memory: BrokerMemory = { ...NONE, ...(store.remembered(NAME) as Partial<BrokerMemory> | undefined) };
  return {
    now: () => memory,
    change: (part) => {
      memory = { ...memory, ...part };
      try {
        store.remember(NAME, memory);
      } catch (error) {
        // A store that fails is told of elsewhere and takes no readings; this is written with the next change.
        if (!(error instanceof Fault)) throw error;
        log.warn({ code: error.code, err: error }, "what befell the broker's session could not be written down");
      }
    },
  };
}

export function once(before: Happened, nowMs: number, more = 1): Happened {
  return { count: before.count + more, lastMs: nowMs };
}
