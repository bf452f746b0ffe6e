import { connect, type IClientOptions, type MqttClient, type Packet } from "mqtt";
import type { BrokerAccess } from "../platform/broker-access.ts";
import type { Clock } from "../platform/clock.ts";
import type { MessageHandler } from "./message-source.ts";

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

/** The one method of MQTT.js 5.16.0 that is not public and that we lean on: every packet goes out through it. */
interface PacketSender {
  _sendPacket(packet: Packet, done?: (error?: Error) => void, stored?: () => void, noStore?: boolean): void;
}

/** A message whose PUBACK the library has made and we keep until the message is on disk. */
interface HeldAck {
  ack: Packet | undefined;
  settled: boolean;
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

/** So many released entries are carried along before the list is cut. */
const MANY = 10_000;

/**
 * Connects, and acknowledges each message of QoS 1 when it is settled, in order. The library takes packets one at a
 * time and would wait for each; so it is told at once that the message is handled, and its PUBACK is held back here.
 */
export function openConnection(options: ConnectionOptions): Connection {
  const { access, clock } = options;
  const client = connect(access.url, clientOptions(access));
  const acks = holdAcks(client);
  let end: ConnectionEnd = { reason: "the broker closed the connection", by: "trouble" };
  let closing = false;
  // Takes what comes while the handler is being set, before the first packet: see manualConnect.
  client.handleMessage = (packet, done) => {
    const payload = typeof packet.payload === "string" ? Buffer.from(packet.payload) : packet.payload;
    // Not taken and not acknowledged, so the broker keeps it for our next start.
    if (closing && packet.qos > 0) return done();
    if (packet.topic.startsWith("$SYS/")) {
      options.system(packet.topic, payload.toString());
      return done();
    }
    const { topic, retain: retained, qos } = packet;
    const message = { topic, payload, receivedMs: clock.nowMs(), retained, qos };
    const settled = qos === 0 ? (): void => {} : acks.expect();
    options.handle(message, (error) => {
      if (error === undefined) return settled();
      // Nothing is sent again on a healthy connection, so this one has to end.
      end = { reason: `the store refused a message: ${error.message}`, by: "us" };
      acks.drop();
      client.stream.destroy();
    });
    done();
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
      acks.drop();
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
    unacknowledged: acks.count,
    close: async () => {
      closing = true;
      for (let waited = 0; waited < LAST_ACKS_MS && client.connected && acks.count() > 0; waited += 10) await pause();
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
    keepalive: KEEPALIVE_S,
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

/** Keeps the client's outgoing PUBACKs back until they are settled, and lets them go in the order they were made. */
function holdAcks(client: MqttClient): { expect(): () => void; drop(): void; count(): number } {
  const sender = client as unknown as PacketSender;
  const send = sender._sendPacket.bind(client);
  let held: HeldAck[] = [];
  let first = 0;
  let unacked: HeldAck | undefined;
  let dropped = false;

  const release = (): void => {
    for (let next = held[first]; next?.settled === true && next.ack !== undefined; next = held[first]) {
      first += 1;
      send(next.ack);
    }
    if (first === held.length || first > MANY) {
      held = held.slice(first);
      first = 0;
    }
  };
  sender._sendPacket = (packet, done, stored, noStore) => {
    if (packet.cmd !== "puback") return send(packet, done, stored, noStore);
    // Made right after its message was handled: see `expect`.
    if (unacked !== undefined) unacked.ack = packet;
    unacked = undefined;
    done?.();
    if (!dropped) release();
  };
  return {
    expect: () => {
      const one: HeldAck = { ack: undefined, settled: false };
      held.push(one);
      unacked = one;
      return () => {
        one.settled = true;
        if (!dropped && one === held[first]) release();
      };
    },
    drop: () => {
      // What was parsed already still passes by; its PUBACKs have no connection to go to.
      dropped = true;
      held = [];
      first = 0;
    },
    count: () => (dropped ? 0 : held.length - first),
  };
}
