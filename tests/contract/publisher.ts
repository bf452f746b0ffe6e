import { connect, type IClientOptions, type MqttClient } from "mqtt";

/** A plain MQTT client of the tests, connected. */
export async function publisher(url: string, options: IClientOptions = {}): Promise<MqttClient> {
  const client = connect(url, { reconnectPeriod: 100, protocolVersion: 4, ...options });
  // Broken connections are what these tests make; the client connects again by itself.
  client.on("error", () => {});
  await new Promise<void>((resolve) => client.once("connect", () => resolve()));
  return client;
}
