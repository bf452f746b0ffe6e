import type { BrokerMemory } from "./broker-memory.ts";

/** Where a payload lies in what was read at once. */
export interface PayloadPlace {
  readonly bytes: Buffer;
  readonly from: number;
  readonly to: number;
}

/** One message as the broker handed it over. */
export interface RawMessage {
  readonly topic: string;
  readonly payload: Uint8Array;
  readonly receivedMs: number;
  /** Kept by the broker from before; such a message is a last-known value, not a new reading. */
  readonly retained: boolean;
  /** 0 means that nothing can promise the message was not lost. */
  readonly qos: 0 | 1 | 2;
  /** For who can read it there: to cut out a short payload costs as much as to decode it. */
  readonly place?: PayloadPlace;
}

/** Bytes of the payload, which is not cut out for that. */
export function payloadBytes(message: RawMessage): number {
  const { place } = message;
  return place === undefined ? message.payload.length : place.to - place.from;
}

/**
 * Takes one message. `settled` is called once, in order: without an error after the transaction that holds the
 * message is on disk (it may be acknowledged then), with one when the store failed (it must not be).
 * Synchronous and quick: thousands a second pass here.
 */
export type MessageHandler = (message: RawMessage, settled: (error?: Error) => void) => void;

export interface SourceStatus {
  readonly connected: boolean;
  /** Plain sentence for the health page. */
  readonly detail: string;
  readonly unacknowledged: number;
  readonly reconnects: number;
  /** What befell our session at an outside broker since the data folder was made; null with the embedded one. */
  readonly broker: BrokerNews | null;
}

export type BrokerNews = Pick<BrokerMemory, "sessionsLost" | "takenOver" | "dropped">;

/** Where messages come from. Nothing is acknowledged before `settled`. */
export interface MessageSource {
  /** Resolves when messages can arrive; rejects with a Fault when the port or the settings are wrong. */
  start(handle: MessageHandler): Promise<void>;
  status(): SourceStatus;
  /** Takes nothing more, and leaves when what was taken is settled, or a little later. */
  stop(): Promise<void>;
}
