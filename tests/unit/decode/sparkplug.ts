import { get } from "sparkplug-payload";
import type { Decoded, MessageDecoder } from "../../../collector/decode/decoder.ts";
import type { RawMessage } from "../../../collector/source/message-source.ts";
import { T0 } from "./decoding.ts";
import { rawMessage } from "./formats.ts";

const codec = get("spBv1.0")!;
type Payload = Parameters<typeof codec.encodePayload>[0];
export type Metric = Partial<NonNullable<Payload["metrics"]>[number]>;

/** A payload as the public encoder writes it. */
export function encoded(metrics: readonly Metric[], rest: object = {}): Uint8Array {
  return codec.encodePayload({ timestamp: T0, metrics, ...rest } as Payload);
}

export function bdSeq(value: number): Metric {
  return { name: "bdSeq", type: "UInt64", value };
}

export const pressure: Metric = { name: "Steam/Pressure", alias: 3, type: "Float", value: 90.5, timestamp: T0 };
export const step: Metric = { name: "Step", alias: 4, type: "Int16", value: 5, timestamp: T0 };
export const serial: Metric = { name: "Properties/Serial", alias: 5, type: "String", value: "A1" };

/** The edge node of the documented settings, over one decoder. */
export function edgeNode(decoder: MessageDecoder) {
  let seq = 0;
  const send = (type: string, payload: Uint8Array, device = "", changes: Partial<RawMessage> = {}): Decoded => {
    const topic = `spBv1.0/ostrimvale/${type}/GW-PR${device === "" ? "" : `/${device}`}`;
    return decoder.decode(rawMessage(topic, payload, { qos: 0, ...changes }));
  };
  const counted = (type: string, metrics: readonly Metric[], device = "", rest: object = {}): Decoded => {
    seq = type === "NBIRTH" ? 0 : (seq + 1) % 256;
    return send(type, encoded(metrics, { seq, ...rest }), device);
  };
  return {
    send,
    nodeBirth: (session = 0, ...more: Metric[]) => counted("NBIRTH", [bdSeq(session), ...more]),
    birth: (...metrics: Metric[]) =>
      counted("DBIRTH", metrics.length > 0 ? metrics : [pressure, step, serial], "PR-01"),
    data: (...metrics: Metric[]) => counted("DDATA", metrics, "PR-01"),
    nodeData: (...metrics: Metric[]) => counted("NDATA", metrics),
    death: (rest: object = {}) => counted("DDEATH", [], "PR-01", rest),
    nodeDeath: (session: number) => send("NDEATH", encoded([bdSeq(session)])),
  };
}
