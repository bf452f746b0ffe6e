import type { BrokerAccess } from "../platform/broker-access.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import { growingWait } from "../platform/growing-wait.ts";
import type { Log } from "../platform/log.ts";
import { type BrokerMemoryBook, once } from "./broker-memory.ts";
import { type Connection, type ConnectionEnd, DROPPED_TOPIC, openConnection } from "./held-connection.ts";
import type { MessageHandler, MessageSource } from "./message-source.ts";
import { takeoverSuspicion } from "./takeover-suspicion.ts";

export interface ExternalBrokerOptions {
  /**
   * Asked anew for each connection. The client id must be the same at every start, for the broker keeps our session
   * under it, and no other client's.
   */
  readonly access: () => BrokerAccess;
  /** Topic filters to subscribe to. */
  readonly topics: readonly string[];
  readonly clock: Clock;
  readonly memory: BrokerMemoryBook;
  readonly log: Log;
}

/** A connection that held this long was a good one: the next failure starts with the shortest wait again. */
const GOOD_AFTER_MS = 10_000;

/**
 * Messages of a broker that runs elsewhere, over a session that it keeps for us while we are away. The connection is
 * made anew for ever, with growing waits; a message that the store refused comes again with the next connection.
 */
export function externalBroker(options: ExternalBrokerOptions): MessageSource {
  const { clock, memory, log } = options;
  const topics = [...new Set(options.topics)];
  const stopping = new AbortController();
  const wait = growingWait(1_000, 30_000);
  const suspicion = takeoverSuspicion();
  let where = options.access().url;
  let connection: Connection | undefined;
  let loop: Promise<void> | undefined;
  let attempts = 0;
  /** Once in a process, for the settings may have changed; after that only when the broker forgot our session. */
  let subscribed = false;
  let lastEnd = "not tried yet";
  let told = "";
  /** The broker tells its count at once after we subscribe: what it dropped until then may have been ours. */
  let firstCount = true;

  /** Once for each change, however often the same is tried. */
  const tell = (words: string, say: () => void): void => {
    if (words !== told) say();
    told = words;
  };

  const admitted = ({ clientId, url }: BrokerAccess, sessionPresent: boolean): void => {
    const session = `${clientId} at ${url}`;
    const { session: before, sessionsLost } = memory.now();
    firstCount = true;
    // A new session is subscribed to nothing, also when this connection breaks before it is.
    if (!sessionPresent) subscribed = false;
    // Of another broker, or another id: what it counts has nothing to do with what was counted before.
    if (before !== session) memory.change({ droppedAt: null, ...(sessionPresent ? { session } : {}) });
    else if (!sessionPresent) {
      memory.change({ sessionsLost: once(sessionsLost, clock.nowMs()), topics: [] });
      log.warn(
        { broker: url, clientId },
        "the broker no longer had our session: what was sent while we were away, and not yet handed to us, is lost",
      );
    }
    tell("connected", () => log.info({ broker: url, clientId, sessionPresent }, "connected to the broker"));
  };

  /** Counts on from where the broker's count stood; one that begins anew is of a broker that did. */
  const system = (topic: string, text: string): void => {
    const count = Number(text);
    if (topic !== DROPPED_TOPIC || !Number.isSafeInteger(count) || count < 0) return;
    const { dropped, droppedAt } = memory.now();
    if (count === droppedAt) return;
    const more = droppedAt === null ? 0 : count > droppedAt ? count - droppedAt : count;
    const before = dropped ?? { count: 0, lastMs: null };
    memory.change({ dropped: more > 0 ? once(before, clock.nowMs(), more) : before, droppedAt: count });
    if (more === 0) return;
    const words = firstCount ? "while we were away" : "lately";
    log.warn({ broker: where, messages: more }, `the broker dropped messages ${words}, of any of its clients`);
  };

  const connectOnce = async (handle: MessageHandler, tried: () => void): Promise<void> => {
    attempts += 1;
    const began = clock.nowMs();
    let access: BrokerAccess;
    try {
      access = options.access();
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return ended({ reason: error.message, by: "trouble" }, began);
    }
    where = access.url;
    connection = openConnection({
      ...{ access, clock, handle, topics, system },
      formerTopics: memory.now().topics,
      subscribeAnyway: !subscribed,
      admitted: (present) => admitted(access, present),
    });
    let stood = false;
    void connection.ready.then((ready) => {
      if (ready) {
        stood = true;
        subscribed = true;
        const session = `${access.clientId} at ${access.url}`;
        const known = memory.now();
        if (known.session !== session || known.topics.join() !== topics.join()) memory.change({ session, topics });
      }
      tried();
    });
    const end = await connection.ended;
    ended(stood ? end : { ...end, by: end.by === "broker" ? "trouble" : end.by }, began);
  };

  const ended = (end: ConnectionEnd, beganMs: number): void => {
    const nowMs = clock.nowMs();
    lastEnd = end.reason;
    if (suspicion.look(end.by, nowMs)) {
      memory.change({ takenOver: once(memory.now().takenOver, nowMs) });
      const words =
        end.by === "taken-over"
          ? "another client uses our client id and took our place: each of the two loses messages to the other"
          : "the broker ends our connection again and again: another client probably uses our client id";
      tell(words, () => log.error({ broker: where }, words));
    } else if (end.by !== "us" || !stopping.signal.aborted) {
      tell(end.reason, () =>
        log.warn({ broker: where, reason: end.reason }, "not connected to the broker; trying again"),
      );
    }
    // Two that take turns must not do so every second.
    if (nowMs - beganMs > GOOD_AFTER_MS && end.by !== "taken-over") wait.reset();
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
      const { sessionsLost, takenOver, dropped } = memory.now();
      return {
        connected,
        detail: connected ? `connected to ${where}` : `not connected to ${where}: ${lastEnd}`,
        unacknowledged: connection?.unacknowledged() ?? 0,
        reconnects: Math.max(attempts - 1, 0),
        broker: { sessionsLost, takenOver, dropped },
      };
    },
    stop: async () => {
      stopping.abort(new Error("the source stops"));
      await connection?.close();
      await loop;
    },
  };
}
