import { connect, type IClientOptions, type MqttClient, type Packet } from "mqtt";
import type { Clock } from "../platform/clock.ts";
import type { MessageHandler } from "./message-source.ts";

export interface ConnectionOptions {
  readonly url: string;
  readonly clientId: string;
  readonly topics: readonly string[];
  readonly clock: Clock;
  readonly protocolVersion?: 4 | 5;
  readonly handle: MessageHandler;
  /** Subscribes even when the broker still has our session. */
  readonly subscribeAnyway: boolean;
}

/** One connection, from the attempt to its end; it never reconnects. */
export interface Connection {
  /** True once messages can arrive, false when it ended before. */
  readonly ready: Promise<boolean>;
  /** Why it ended, in words. Never rejects. */
  readonly ended: Promise<string>;
  connected(): boolean;
  unacknowledged(): number;
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

/** So many released entries are carried along before the list is cut. */
const MANY = 10_000;

/**
 * Connects, and acknowledges each message of QoS 1 when it is settled, in order. The library takes packets one at a
 * time and would wait for each; so it is told at once that the message is handled, and its PUBACK is held back here.
 */
export function openConnection(options: ConnectionOptions): Connection {
  const client = connect(options.url, clientOptions(options));
  const acks = holdAcks(client);
  let reason = "the broker closed the connection";
  // Takes what comes while the handler is being set, before the first packet: see manualConnect.
  client.handleMessage = (packet, done) => {
    const message = {
      topic: packet.topic,
      payload: typeof packet.payload === "string" ? Buffer.from(packet.payload) : packet.payload,
      receivedMs: options.clock.nowMs(),
      retained: packet.retain,
      qos: packet.qos,
    };
    const settled = packet.qos === 0 ? (): void => {} : acks.expect();
    options.handle(message, (error) => {
      if (error === undefined) return settled();
      // Nothing is sent again on a healthy connection, so this one has to end.
      reason = `the store refused a message: ${error.message}`;
      acks.drop();
      client.stream.destroy();
    });
    done();
  };

  const ended = new Promise<string>((resolve) => {
    client.on("error", (error) => {
      reason = error.message || String((error as NodeJS.ErrnoException).code);
    });
    client.on("disconnect", (packet) => {
      reason = `the broker ended the connection, reason ${packet.reasonCode ?? "not given"}`;
    });
    client.once("close", () => {
      acks.drop();
      // Drops timers as well; the stream is gone already.
      client.end(true);
      resolve(reason);
    });
  });
  const ready = new Promise<boolean>((resolve) => {
    void ended.then(() => resolve(false));
    client.once("connect", (connack) => {
      if (connack.sessionPresent && !options.subscribeAnyway) return resolve(true);
      subscribe(client, options.topics).then(
        () => resolve(true),
        (error: Error) => {
          reason = error.message;
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
      reason = "closed by us";
      await client.endAsync(!client.connected);
      await ended;
    },
  };
}

function clientOptions({ clientId, protocolVersion = 4 }: ConnectionOptions): IClientOptions {
  return {
    clientId,
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
