import { connect, type MqttClient } from "mqtt";

/** A gateway of the test's own: speaks the wire format as the README gives it, at QoS 1, and comes back by itself. */
export interface Gateway {
  readings(series: string, unit: string, tMs: number, everyMs: number, values: readonly number[]): Promise<void>;
  event(series: string, tMs: number, value: number, attributes?: Readonly<Record<string, string>>): Promise<void>;
  /** A whole pour that ended just now, at this temperature of the stream. */
  pour(part: string, celsius: number): Promise<void>;
  close(): Promise<void>;
}

export function openGateway(url: string, source: string): Gateway {
  const client: MqttClient = connect(url, { reconnectPeriod: 200, clientId: `${source}-${process.pid}-${Date.now()}` });
  // While the product is away the client tries again by itself; what could not be sent waits in it.
  client.on("error", () => undefined);
  let seq = 0;
  const send = async (kind: string, body: Readonly<Record<string, unknown>>): Promise<void> => {
    const message = { v: 1, kind, source, seq: seq++, ...body };
    await client.publishAsync(`ostrimvale/${source}/${kind}`, JSON.stringify(message), { qos: 1 });
  };
  const self: Gateway = {
    readings: (series, unit, t, everyMs, values) =>
      send("readings", { readings: [{ series, t, everyMs, values, unit }] }),
    event: (series, t, value, attributes) => send("event", { series, t, value, attributes }),
    async pour(part, celsius) {
      const lastsMs = 4_000;
      const startMs = Date.now() - lastsMs;
      const attributes = { part };
      await self.event("PO-A/pour", startMs, 1, attributes);
      // Ripples, because a stream that does not change at all is a dead sensor.
      const values = Array.from({ length: lastsMs / 100 }, (_, i) => celsius - 0.04 * i + 0.3 * Math.sin(i));
      await self.readings("PO-A/stream", "Cel", startMs, 100, values);
      await self.event("PO-A/pour", startMs + lastsMs, 0, attributes);
    },
    close: () => client.endAsync(true),
  };
  return self;
}
