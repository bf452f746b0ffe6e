import { connect, type MqttClient } from "mqtt";
import type { StreamMessage } from "./plant-stream.ts";

export interface OrderedSender {
  /** Places in the stream that were acknowledged to the sender. */
  readonly acknowledged: ReadonlySet<number>;
  /** How many were handed to a connection so far. */
  sent(): number;
  /** Lets it send so many messages in all, so many a second at most. */
  allow(count: number, aSecond: number): void;
  close(): void;
}

/** Unacknowledged messages at a time. */
const WINDOW = 200;
const TICK_MS = 20;
const RECONNECT_MS = 100;

/**
 * Sends a stream at QoS 1 over a connection that breaks as often as it likes. After each break it sends what was not
 * acknowledged again, in its old order and before anything new, as a gateway with a buffer does; MQTT.js by itself
 * lets new messages overtake those.
 */
export function orderedSender(url: string, stream: readonly StreamMessage[]): OrderedSender {
  const acknowledged = new Set<number>();
  let client: MqttClient | undefined;
  let closed = false;
  let [next, underway, oldest, sent] = [0, 0, 0, 0];
  let [allowed, most, perTick] = [0, 0, 0];

  const pump = (mine: MqttClient): void => {
    while (mine === client && mine.connected && underway < WINDOW && next < allowed) {
      const at = next++;
      sent = Math.max(sent, next);
      if (acknowledged.has(at)) continue;
      const { topic, payload } = stream[at]!;
      underway += 1;
      mine.publish(topic, payload, { qos: 1 }, (error) => {
        if (mine !== client) return;
        underway -= 1;
        if (error) return;
        acknowledged.add(at);
        pump(mine);
      });
    }
  };
  const open = (): void => {
    if (closed) return;
    const mine = connect(url, { reconnectPeriod: 0, protocolVersion: 4, connectTimeout: 5_000 });
    client = mine;
    // Broken connections are what this is for.
    mine.on("error", () => {});
    mine.once("connect", () => {
      while (acknowledged.has(oldest)) oldest += 1;
      next = oldest;
      underway = 0;
      pump(mine);
    });
    mine.once("close", () => {
      if (mine === client) client = undefined;
      mine.end(true);
      setTimeout(open, RECONNECT_MS);
    });
  };
  const ticking = setInterval(() => {
    allowed = Math.min(allowed + perTick, most);
    if (client !== undefined) pump(client);
  }, TICK_MS);
  open();
  return {
    acknowledged,
    sent: () => sent,
    allow: (count, aSecond) => {
      most = Math.min(count, stream.length);
      perTick = Math.max(1, Math.ceil((aSecond * TICK_MS) / 1000));
    },
    close: () => {
      closed = true;
      clearInterval(ticking);
      client?.end(true);
    },
  };
}
