import { Socket } from "node:net";
import type { Duplex } from "node:stream";
import { connect, type IClientOptions, type MqttClient } from "mqtt";
import type { BrokerAccess } from "../platform/broker-access.ts";
import type { Clock } from "../platform/clock.ts";
import type { MessageHandler, RawMessage } from "./message-source.ts";
import { PublishGate } from "./publish-gate.ts";
import { Turns } from "./turns.ts";

export interface ConnectionOptions {
  readonly access: BrokerAccess;
  /** What we want to be subscribed to, and what else an old session of ours may still be. */
  readonly topics: readonly string[];
  readonly formerTopics: readonly string[];
  readonly clock: Clock;
  readonly handle: MessageHandler;
  /** Subscribes even when the broker still has our session. */
  readonly subscribeAnyway: boolean;
  /** Told when the broker has let us in, before anything is subscribed to. */
  readonly admitted: (sessionPresent: boolean) => void;
  /** What the broker is told to wait for between two packets of ours, and we for its answer half as long again; 30 unless said. */
  readonly keepaliveS?: number;
  /** What the broker says of itself, by topic. */
  readonly system: (topic: string, text: string) => void;
}

/** How a connection ended. */
export interface ConnectionEnd {
  readonly reason: string;
  /**
   * The broker broke it off although all went well; `taken-over` when it says that another client took our place, which
   * MQTT 3.1.1 has no word for.
   */
  readonly by: "us" | "broker" | "taken-over" | "trouble";
}

/** One connection, from the attempt to its end; it never reconnects. */
export interface Connection {
  /** True once messages can arrive, false when it ended before. */
  readonly ready: Promise<boolean>;
  /** Never rejects. */
  readonly ended: Promise<ConnectionEnd>;
  connected(): boolean;
  unacknowledged(): number;
  /** Takes nothing more, waits a little until what was taken is acknowledged, and leaves. */
  close(): Promise<void>;
}

/** The one property of MQTT.js 5.16.0 that is not public and that we lean on: it makes the stream that the client reads. */
interface StreamBuilder {
  streamBuilder(client: MqttClient): Duplex;
}

const KEEPALIVE_S = 30;
const CONNECT_TIMEOUT_MS = 10_000;
const SESSION_EXPIRY_S = 7 * 86_400;
/** Reason code of MQTT 5 (3.14.2.1): another client came under our client id. */
const SESSION_TAKEN_OVER = 142;
/** A group is committed within a fraction of this; longer, and the disk hangs: the broker then sends it again. */
const LAST_ACKS_MS = 2_000;

/** How many messages Mosquitto dropped, of any of its clients, because a queue was full. */
export const DROPPED_TOPIC = "$SYS/broker/publish/messages/dropped";

/**
 * Connects, and acknowledges each message of QoS 1 when it is settled, in order. The library would hand over one packet
 * at a time and wait for each, so messages are taken out of its stream; the connection and the session are its own.
 */
export function openConnection(options: ConnectionOptions): Connection {
  const { access, clock } = options;
  const { keepaliveS = KEEPALIVE_S } = options;
  const client = connect(access.url, { ...clientOptions(access), keepalive: keepaliveS });
  let end: ConnectionEnd = { reason: "the broker closed the connection", by: "trouble" };
  let closing = false;
  let over = false;
  let unacknowledged = 0;
  let gate: PublishGate | undefined;

  let heardMs = clock.nowMs();
  /**
   * A broker with a backlog for us may answer a ping only when all of it has gone out (Mosquitto 2.0 does so), and the
   * library sees none of its messages: they are as good as an answer. It still hears our pings, as it must at QoS 0.
   */
  const heard = (nowMs: number): void => {
    // Also when the clock was set back.
    if (Math.abs(nowMs - heardMs) < (keepaliveS * 1000) / 3) return;
    heardMs = nowMs;
    client.sendPing();
    client.reschedulePing(true);
  };

  const take = (message: RawMessage, id: number): boolean => {
    heard(message.receivedMs);
    if (message.topic.startsWith("$SYS/")) {
      options.system(message.topic, Buffer.from(message.payload).toString());
      return true;
    }
    const { qos } = message;
    // Not taken and not acknowledged, so the broker keeps it for our next start.
    if (over || (closing && qos > 0)) return true;
    if (qos > 0) unacknowledged += 1;
    options.handle(message, (error) => {
      if (over) return;
      if (error === undefined) {
        if (qos === 0) return;
        unacknowledged -= 1;
        gate?.acknowledge(id);
        return;
      }
      // Nothing is sent again on a healthy connection, so this one has to end.
      end = { reason: `the store refused a message: ${error.message}`, by: "us" };
      over = true;
      client.stream.destroy();
    });
    return true;
  };
  const builder = client as unknown as StreamBuilder;
  const plain = builder.streamBuilder.bind(client);
  builder.streamBuilder = (self) => {
    const socket = plain(self);
    if (socket instanceof Socket) socket.setNoDelay(true);
    const { protocolVersion } = access;
    gate = new PublishGate(
      {
        socket,
        protocolVersion,
        clock,
        turns: new Turns(),
        tellsRetained: true,
        mostBytes: Number.POSITIVE_INFINITY,
        take,
      },
      true,
    );
    return gate;
  };

  const ended = new Promise<ConnectionEnd>((resolve) => {
    client.on("error", (error) => {
      // A broken pipe of a connection that stood may be the broker's way to close it.
      const by = end.by === "broker" && (error as NodeJS.ErrnoException).code === "ECONNRESET" ? "broker" : "trouble";
      end = { reason: error.message || String((error as NodeJS.ErrnoException).code), by };
    });
    client.on("disconnect", ({ reasonCode }) => {
      end =
        reasonCode === SESSION_TAKEN_OVER
          ? { reason: `another client took our place: ${access.clientId} is its client id too`, by: "taken-over" }
          : { reason: `the broker ended the connection, reason ${reasonCode ?? "not given"}`, by: "trouble" };
    });
    client.once("close", () => {
      over = true;
      // Drops timers as well; the stream is gone already.
      client.end(true);
      resolve(end);
    });
  });
  const ready = new Promise<boolean>((resolve) => {
    void ended.then(() => resolve(false));
    client.once("connect", ({ sessionPresent }) => {
      end = { ...end, by: "broker" };
      options.admitted(sessionPresent);
      subscribeTo(client, options, sessionPresent).then(
        () => resolve(true),
        (error: Error) => {
          end = { reason: error.message, by: "trouble" };
          client.stream.destroy();
        },
      );
    });
  });
  client.connect();
  return {
    ready,
    ended,
    connected: () => client.connected,
    unacknowledged: () => (over ? 0 : unacknowledged),
    close: async () => {
      closing = true;
      for (let waited = 0; waited < LAST_ACKS_MS && client.connected && unacknowledged > 0; waited += 10) await pause();
      end = { reason: "closed by us", by: "us" };
      await client.endAsync(!client.connected);
      await ended;
    },
  };
}

function pause(): Promise<void> {
  // Not by the clock: it may be stepped, and then this would last.
  return new Promise((resolve) => setTimeout(resolve, 10));
}

function clientOptions(access: BrokerAccess): IClientOptions {
  const { url: _, protocolVersion, ...rest } = access;
  return {
    ...rest,
    clean: false,
    protocolVersion,
    connectTimeout: CONNECT_TIMEOUT_MS,
    // The handlers stand before the first packet of a kept session can come.
    manualConnect: true,
    // The waits between connections, and when to subscribe, are ours.
    reconnectPeriod: 0,
    resubscribe: false,
    queueQoSZero: false,
    // Its debug log is made up for each packet even when nobody listens.
    log: () => {},
    // No topicAliasMaximum: a message under an alias would reach us without its topic.
    ...(protocolVersion === 5 ? { properties: { sessionExpiryInterval: SESSION_EXPIRY_S } } : {}),
  };
}

async function subscribeTo(
  client: MqttClient,
  { topics, formerTopics, subscribeAnyway }: ConnectionOptions,
  sessionPresent: boolean,
): Promise<void> {
  // At QoS 0 and anew each time, so that it is not queued for us and its last value comes at once. No broker must grant it.
  await client.subscribeAsync(DROPPED_TOPIC, { qos: 0 }).catch(() => {});
  if (sessionPresent && !subscribeAnyway) return;
  await subscribe(client, topics);
  const former = sessionPresent ? formerTopics.filter((topic) => !topics.includes(topic)) : [];
  if (former.length > 0) await client.unsubscribeAsync(former);
}

async function subscribe(client: MqttClient, topics: readonly string[]): Promise<void> {
  const granted = await client.subscribeAsync([...new Set(topics)], { qos: 1 });
  const refused = granted.filter(({ qos }) => qos >= 128).map(({ topic }) => topic);
  if (refused.length > 0) throw new Error(`the broker refused the subscription to ${refused.join(", ")}`);
}
