import type { PayloadPlace, RawMessage } from "./message-source.ts";

/** A message amid the bytes that it came with; its payload is cut out for those who ask for it. */
export class TakenMessage implements RawMessage, PayloadPlace {
  readonly topic: string;
  readonly bytes: Buffer;
  readonly from: number;
  readonly to: number;
  readonly receivedMs: number;
  readonly retained: boolean;
  readonly qos: 0 | 1;

  constructor(topic: string, { bytes, from, to }: PayloadPlace, receivedMs: number, retained: boolean, qos: 0 | 1) {
    this.topic = topic;
    this.bytes = bytes;
    this.from = from;
    this.to = to;
    this.receivedMs = receivedMs;
    this.retained = retained;
    this.qos = qos;
  }

  /** An object of its own would be one more for each message. */
  get place(): PayloadPlace {
    return this;
  }

  get payload(): Buffer {
    return this.bytes.subarray(this.from, this.to);
  }
}
