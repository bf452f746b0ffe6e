import type { Clock } from "../platform/clock.ts";
import { withoutPassword } from "../platform/environment.ts";
import { growingWait } from "../platform/growing-wait.ts";
import { type Connection, openConnection } from "./held-connection.ts";
import type { MessageHandler, MessageSource } from "./message-source.ts";

export interface ExternalBrokerOptions {
  readonly url: string;
  /** The broker keeps our session under it, so it must be the same at every start and no other client's. */
  readonly clientId: string;
  /** Topic filters to subscribe to. */
  readonly topics: readonly string[];
  readonly clock: Clock;
  /** 4 is MQTT 3.1.1, which every broker speaks; nothing here needs 5. */
  readonly protocolVersion?: 4 | 5;
}

/** A connection that held this long was a good one: the next failure starts with the shortest wait again. */
const GOOD_AFTER_MS = 10_000;

/**
 * Messages of a broker that runs elsewhere, over a session that it keeps for us while we are away. The connection is
 * made anew for ever, with growing waits; a message that the store refused comes again with the next connection.
 */
export function externalBroker(options: ExternalBrokerOptions): MessageSource {
  const { clock } = options;
  const where = withoutPassword(options.url);
  const stopping = new AbortController();
  const wait = growingWait(1_000, 30_000);
  let connection: Connection | undefined;
  let loop: Promise<void> | undefined;
  let attempts = 0;
  /** Once in a process, for the settings may have changed; after that only when the broker forgot our session. */
  let subscribed = false;
  let lastEnd = "not tried yet";

  const connectOnce = async (handle: MessageHandler, tried: () => void): Promise<void> => {
    attempts += 1;
    const began = clock.nowMs();
    connection = openConnection({ ...options, handle, subscribeAnyway: !subscribed });
    void connection.ready.then((ready) => {
      if (ready) subscribed = true;
      tried();
    });
    lastEnd = await connection.ended;
    if (clock.nowMs() - began > GOOD_AFTER_MS) wait.reset();
  };

  const keepConnected = async (handle: MessageHandler, tried: () => void): Promise<void> => {
    while (!stopping.signal.aborted) {
      await connectOnce(handle, tried);
      tried();
      if (stopping.signal.aborted) return;
      // The only way out of the sleep is that we stop; the loop then ends.
      await clock.sleep(wait.next(), stopping.signal).catch(() => {});
    }
  };

  return {
    start: (handle) =>
      new Promise((resolve) => {
        // A broker that is down does not keep the product from starting: the page shows it.
        loop = keepConnected(handle, resolve);
      }),
    status: () => {
      const connected = connection?.connected() === true;
      return {
        connected,
        detail: connected ? `connected to ${where}` : `not connected to ${where}: ${lastEnd}`,
        unacknowledged: connection?.unacknowledged() ?? 0,
        reconnects: Math.max(attempts - 1, 0),
      };
    },
    stop: async () => {
      stopping.abort(new Error("the source stops"));
      await connection?.close();
      await loop;
    },
  };
}
