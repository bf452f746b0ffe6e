import { Duplex } from "node:stream";
import type { Clock } from "../platform/clock.ts";
import type { RawMessage } from "./message-source.ts";
import { TakenMessage } from "./taken-message.ts";
import type { Turns } from "./turns.ts";

export interface GateOptions {
  /** What the bytes come and go over, plain or TLS. */
  readonly socket: Duplex;
  readonly protocolVersion: 4 | 5;
  readonly clock: Clock;
  /** Shared by all connections of the source. */
  readonly turns: Turns;
  /** False: a message that its sender wants kept is a message like any other. */
  readonly tellsRetained: boolean;
  /** A longer packet ends the connection as soon as it is announced. */
  readonly mostBytes: number;
  /** Takes a message of QoS 0 or 1, `id` being 0 at QoS 0; false leaves it to the library. */
  take(message: RawMessage, id: number): boolean;
}

/** Types of MQTT packets, as the first byte says them: 3.1.1 and 5, section 2.1. */
const PUBLISH = 0x30;
const PUBACK = 0x40;
/** A first byte and at most four of the length. */
const MOST_HEADER = 5;

/**
 * The stream that an MQTT library reads in place of the socket. PUBLISH packets are read here, for a library spends ten
 * times as long on each as we do on the whole message; all others pass, and so does what the library writes. PUBACKs
 * that become due together leave in one write.
 */
export class PublishGate extends Duplex {
  readonly #options: GateOptions;
  /** Before somebody is let in, all is for the library: the first packet, and nothing after it. */
  #open: boolean;
  /** The first packet has come, whole or not. */
  #begun = false;
  /** What was sent right behind it, by somebody who does not wait to be let in: the library would take 42 packets of it. */
  #early: Buffer[] = [];
  /** Bytes that belong to a packet which passes, and are still to come. */
  #passing = 0;
  /** The beginning of a packet of which not enough has come. */
  #held: Buffer[] = [];
  #heldBytes = 0;
  #wantedBytes = 0;
  #acks: number[] = [];
  #topicBytes: Uint8Array = new Uint8Array(0);
  #topic = "";
  #heardMs = performance.now();
  #silence: NodeJS.Timeout | undefined;
  /** A chunk waits for its turn. */
  #waiting = false;
  /** The library has as much as it wants for now. */
  #full = false;

  constructor(options: GateOptions, open: boolean) {
    super({ allowHalfOpen: false });
    this.#options = options;
    this.#open = open;
    const { socket, turns } = options;
    let over = false;
    socket.on("data", (chunk: Buffer) => {
      this.#heardMs = performance.now();
      const done = turns.take(() => {
        this.#waiting = false;
        if (!this.destroyed) this.#read(chunk);
        this.#resume();
      });
      if (done) return;
      // No more is read meanwhile, so no other chunk can overtake this one.
      this.#waiting = true;
      socket.pause();
    });
    socket.once("end", () => {
      over = true;
      // After the chunk that still waits for its turn.
      turns.take(() => this.push(null));
    });
    socket.on("error", (error) => this.destroy(error));
    // After an end what was read is still to be delivered, and the stream ends by itself.
    socket.once("close", () => over || this.destroy());
  }

  open(): void {
    this.#open = true;
    const early = this.#early;
    this.#early = [];
    if (early.length > 0 && !this.destroyed) this.#read(Buffer.concat(early));
    this.#resume();
  }

  /** Ends the connection when nothing is heard for so long. */
  endAfterSilence(ms: number): void {
    const look = (): void => {
      const quietMs = performance.now() - this.#heardMs;
      if (quietMs >= ms) this.destroy();
      else this.#silence = setTimeout(look, ms - quietMs);
    };
    clearTimeout(this.#silence);
    look();
  }

  /** Sends the PUBACK of a message that was taken, with those of its group. */
  acknowledge(id: number): void {
    if (this.#acks.push(id) === 1) queueMicrotask(() => this.#sendAcks());
  }

  override _read(): void {
    this.#full = false;
    this.#resume();
  }

  override _write(chunk: Buffer, _: string, done: (error?: Error | null) => void): void {
    this.#write(chunk, done);
  }

  override _writev(chunks: readonly { readonly chunk: Buffer }[], done: (error?: Error | null) => void): void {
    this.#write(Buffer.concat(chunks.map(({ chunk }) => chunk)), done);
  }

  override _final(done: (error?: Error | null) => void): void {
    const { socket } = this.#options;
    if (socket.destroyed) done();
    else socket.end(() => done());
  }

  override _destroy(error: Error | null, done: (error?: Error | null) => void): void {
    clearTimeout(this.#silence);
    this.#held = [];
    this.#early = [];
    this.#options.socket.destroy();
    done(error);
  }

  #write(bytes: Buffer, done: (error?: Error | null) => void): void {
    const { socket } = this.#options;
    if (socket.destroyed) {
      done();
      return;
    }
    // The library's own PUBACKs must not overtake ours.
    this.#sendAcks();
    socket.write(bytes, done);
  }

  #sendAcks(): void {
    const { socket } = this.#options;
    const ids = this.#acks;
    if (ids.length === 0) return;
    this.#acks = [];
    if (socket.destroyed || socket.writableEnded) return;
    const bytes = Buffer.allocUnsafe(4 * ids.length);
    for (let i = 0; i < ids.length; i += 1) {
      const id = ids[i]!;
      const at = 4 * i;
      bytes[at] = PUBACK;
      bytes[at + 1] = 2;
      bytes[at + 2] = id >> 8;
      bytes[at + 3] = id & 255;
    }
    socket.write(bytes);
  }

  #read(chunk: Buffer): void {
    let bytes = chunk;
    if (this.#heldBytes > 0) {
      this.#held.push(chunk);
      this.#heldBytes += chunk.length;
      if (this.#heldBytes < this.#wantedBytes) return;
      bytes = Buffer.concat(this.#held);
      this.#held = [];
      this.#heldBytes = 0;
    }
    const receivedMs = this.#options.clock.nowMs();
    for (let at = 0; at < bytes.length && !this.destroyed; ) {
      if (this.#passing > 0) {
        const to = Math.min(at + this.#passing, bytes.length);
        this.#passing -= to - at;
        this.#pass(bytes.subarray(at, to));
        at = to;
        continue;
      }
      if (!this.#open && this.#begun) {
        this.#early.push(bytes.subarray(at));
        this.#options.socket.pause();
        return;
      }
      const next = this.#packet(bytes, at, receivedMs);
      if (next < 0) this.#hold(bytes, at, -next);
      at = next < 0 ? bytes.length : next;
    }
  }

  /** Reads the packet at a place; gives the place after what was dealt with, or how many bytes are wanted, below 0. */
  #packet(bytes: Buffer, from: number, receivedMs: number): number {
    let length = 0;
    let body = from + 1;
    for (let shift = 0; ; shift += 7) {
      const byte = bytes[body];
      if (byte === undefined) return -(body - from + 1);
      body += 1;
      length += (byte & 127) << shift;
      if (byte < 128) break;
      // Longer than any length may be: the library says so, in its words.
      if (body - from === MOST_HEADER) {
        this.#passing = Number.POSITIVE_INFINITY;
        return from;
      }
    }
    if (length > this.#options.mostBytes) {
      this.destroy(new Error(`a packet of ${length} bytes, at most ${this.#options.mostBytes} are taken`));
      return bytes.length;
    }
    const first = bytes[from]!;
    const end = body + length;
    const qos = (first >> 1) & 3;
    if ((first & 0xf0) === PUBLISH && qos < 2 && this.#open) {
      if (end > bytes.length) return -(end - from);
      if (this.#publish(bytes, first, body, end, receivedMs)) return end;
    }
    this.#passing = end - from;
    this.#begun = true;
    return from;
  }

  /** Section 3.3: topic, packet identifier at QoS 1, properties in MQTT 5, payload. False: the library shall see to it. */
  #publish(bytes: Buffer, first: number, from: number, end: number, receivedMs: number): boolean {
    const { protocolVersion, tellsRetained, take } = this.#options;
    const qos = ((first >> 1) & 3) as 0 | 1;
    const topicFrom = from + 2;
    const topicTo = topicFrom + ((bytes[from]! << 8) | bytes[from + 1]!);
    let at = qos === 0 ? topicTo : topicTo + 2;
    if (!(at <= end) || topicTo === topicFrom) return false;
    const id = qos === 0 ? 0 : (bytes[topicTo]! << 8) | bytes[topicTo + 1]!;
    if (qos === 1 && id === 0) return false;
    if (protocolVersion === 5) {
      let properties = 0;
      for (let shift = 0; ; shift += 7) {
        const byte = bytes[at];
        if (byte === undefined || shift > 21) return false;
        at += 1;
        properties += (byte & 127) << shift;
        if (byte < 128) break;
      }
      at += properties;
      if (at > end) return false;
    }
    const topic = this.#topicOf(bytes, topicFrom, topicTo);
    const retained = tellsRetained && (first & 1) === 1;
    return take(new TakenMessage(topic, { bytes, from: at, to: end }, receivedMs, retained, qos), id);
  }

  /** Mostly that of the packet before. */
  #topicOf(bytes: Buffer, from: number, to: number): string {
    const known = this.#topicBytes;
    let same = known.length === to - from;
    for (let i = 0; same && i < known.length; i += 1) same = known[i] === bytes[from + i];
    if (!same) {
      this.#topicBytes = Uint8Array.prototype.slice.call(bytes, from, to);
      this.#topic = bytes.toString("utf8", from, to);
    }
    return this.#topic;
  }

  #hold(bytes: Buffer, from: number, wanted: number): void {
    const rest = from === 0 ? bytes : bytes.subarray(from);
    this.#held = [rest];
    this.#heldBytes = rest.length;
    this.#wantedBytes = wanted;
  }

  #pass(bytes: Buffer): void {
    if (this.push(bytes)) return;
    this.#full = true;
    this.#options.socket.pause();
  }

  #resume(): void {
    const { socket } = this.#options;
    if (!this.#waiting && !this.#full && this.#early.length === 0 && socket.isPaused()) socket.resume();
  }
}
