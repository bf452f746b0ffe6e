import { connect } from "mqtt";
import type { BrokerAccess } from "../platform/broker-access.ts";
import type { Log } from "../platform/log.ts";

/** A connection for what collector and api tell each other; it comes back by itself, and keeps nothing while it is away. */
export interface LinkLine {
  send(topic: string, bytes: Buffer): void;
  close(): Promise<void>;
}

const CONNECT_TIMEOUT_MS = 10_000;
const AGAIN_MS = 1_000;

export function linkLine(
  access: BrokerAccess,
  listen: { readonly topic: string; readonly hear: (bytes: Uint8Array) => void },
  log: Log,
): LinkLine {
  const { url, ...rest } = access;
  const client = connect(url, {
    ...rest,
    clean: true,
    connectTimeout: CONNECT_TIMEOUT_MS,
    reconnectPeriod: AGAIN_MS,
    resubscribe: false,
    // What could not be said in time is old when it can.
    queueQoSZero: false,
    log: () => {},
  });
  let told = "";
  const tell = (words: string, say: () => void): void => {
    if (words !== told) say();
    told = words;
  };
  client.on("connect", () => {
    client.subscribe(listen.topic, { qos: 0 }, (error, granted) => {
      const refused = error !== null || granted?.some(({ qos }) => qos > 2) === true;
      if (refused) tell("refused", () => log.error({ broker: url }, `the broker does not let us hear ${listen.topic}`));
      else tell("connected", () => log.info({ broker: url }, "collector and api can hear each other"));
    });
  });
  client.on("error", (error) => {
    const reason = error.message || String((error as NodeJS.ErrnoException).code);
    tell(reason, () => log.warn({ broker: url, reason }, "collector and api cannot hear each other; trying again"));
  });
  client.on("message", (_topic, payload) => listen.hear(payload));
  return {
    send: (topic, bytes) => {
      if (client.connected) client.publish(topic, bytes, { qos: 0 });
    },
    close: () => client.endAsync(true),
  };
}
