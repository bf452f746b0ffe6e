import { connect, type MqttClient } from "mqtt";
import type { BrokerAccess } from "../platform/broker-access.ts";
import { Fault } from "../platform/fault.ts";

const CONNECT_TIMEOUT_MS = 10_000;
const AGAIN_MS = 1_000;

/**
 * A client that comes and goes without a session, under a name of its own, so that it takes nothing from the product.
 * Rejects with a Fault `broker-unreachable` when it is not let in; later it connects again by itself.
 */
export async function passingClient(access: BrokerAccess, say: (words: string) => void): Promise<MqttClient> {
  const { url, ...rest } = access;
  const client = connect(url, {
    ...rest,
    clientId: `steadypour-passing-${process.pid}-${Math.random().toString(36).slice(2, 8)}`,
    clean: true,
    connectTimeout: CONNECT_TIMEOUT_MS,
    reconnectPeriod: 0,
    log: () => {},
  });
  await new Promise<void>((resolve, reject) => {
    let reason = "it closed the connection";
    client.on("error", (error) => {
      reason = error.message || String((error as NodeJS.ErrnoException).code);
    });
    const refused = (): void => {
      client.end(true);
      reject(new Fault("broker-unreachable", `no connection to ${url}: ${reason}`, { retryable: true }));
    };
    client.once("close", refused);
    client.once("connect", () => {
      client.off("close", refused);
      resolve();
    });
  });
  client.options.reconnectPeriod = AGAIN_MS;
  client.on("close", () => {
    if (!client.disconnecting) say(`${url} is gone; trying again every second`);
  });
  client.on("connect", () => say(`${url} is there again`));
  return client;
}
