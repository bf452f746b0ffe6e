import type { Bus } from "../../collector/platform/bus.ts";
import type { Clock } from "../../collector/platform/clock.ts";
import type { Journal } from "../../collector/store/journal.ts";
import type { ReadModel } from "./read-model.ts";

export interface KeepUpParts {
  readonly model: Pick<ReadModel, "seq" | "catchUp">;
  readonly journal: Pick<Journal, "lastSeq">;
  readonly bus: Bus;
  readonly clock: Clock;
  readonly report: (error: unknown, words: string) => void;
}

/** Other processes of this host write to the journal too, and no bus tells of that. */
const lookEveryMs = 500;

/** Keeps the read model at the journal's end, until stopped. A failing journal is reported and tried again. */
export function keepUp({ model, journal, bus, clock, report }: KeepUpParts): { stop(): Promise<void> } {
  const stopped = new AbortController();
  const take = (): void => {
    if (stopped.signal.aborted) return;
    try {
      if (journal.lastSeq() !== model.seq) model.catchUp();
    } catch (error) {
      report(error, "the journal could not be read");
    }
  };
  let due = false;
  // Announcements come from inside the collector's work: it is not made to wait for ours.
  const stopListening = bus.on("journal", () => {
    if (due) return;
    due = true;
    setImmediate(() => {
      due = false;
      take();
    });
  });
  const loop = async (): Promise<void> => {
    while (!stopped.signal.aborted) {
      take();
      // Rejects when we are stopped, and the loop's condition ends it.
      await clock.sleep(lookEveryMs, stopped.signal).catch(() => undefined);
    }
  };
  const ended = loop();
  return {
    stop: async () => {
      stopped.abort();
      stopListening();
      await ended;
    },
  };
}
