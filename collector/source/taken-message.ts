import type { PayloadPlace, RawMessage, ReadBytes } from "./message-source.ts";

/** A message amid the bytes that it came with; its payload is cut out for those who ask for it. */
export class TakenMessage implements RawMessage {
  readonly topic: string;
  readonly place: PayloadPlace;
  readonly receivedMs: number;
  readonly retained: boolean;
  readonly qos: 0 | 1;

  constructor(topic: string, place: PayloadPlace, receivedMs: number, retained: boolean, qos: 0 | 1) {
    this.topic = topic;
    this.place = place;
    this.receivedMs = receivedMs;
    this.retained = retained;
    this.qos = qos;
  }

  get payload(): Buffer {
    const { read, from, to } = this.place;
    return read.bytes.subarray(from, to);
  }
}

/** The text is made once, when it is first asked for. */
export function readBytes(bytes: Buffer): ReadBytes {
  let text: string | undefined;
  return {
    bytes,
    text: () => {
      text ??= bytes.toString("latin1");
      return text;
    },
  };
}
