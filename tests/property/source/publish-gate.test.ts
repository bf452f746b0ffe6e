import { Duplex } from "node:stream";
import fc from "fast-check";
import { expect, test } from "vitest";
import { systemClock } from "../../../collector/platform/clock.ts";
import type { RawMessage } from "../../../collector/source/message-source.ts";
import { PublishGate } from "../../../collector/source/publish-gate.ts";
import { Turns } from "../../../collector/source/turns.ts";
import { eventually } from "../../eventually.ts";

/** Packets as MQTT 3.1.1 (sections 2 and 3) and MQTT 5 write them, put together by hand. */
interface Sent {
  readonly bytes: Buffer;
  readonly message: {
    readonly topic: string;
    readonly payload: string;
    readonly qos: number;
    readonly id: number;
  } | null;
}

function packet(first: number, body: Buffer): Buffer {
  const length: number[] = [];
  for (let left = body.length; length.length === 0 || left > 0; left >>= 7)
    length.push((left & 127) | (left > 127 ? 128 : 0));
  return Buffer.concat([Buffer.from([first, ...length]), body]);
}
function publish(version: 4 | 5, topic: string, payload: string, qos: 0 | 1 | 2, id: number): Buffer {
  const name = Buffer.from(topic);
  const number = qos === 0 ? [] : [id >> 8, id & 255];
  // A message expiry interval of a minute.
  const properties = version === 5 ? [5, 2, 0, 0, 0, 60] : [];
  const head = Buffer.concat([Buffer.from([0, name.length]), name, Buffer.from([...number, ...properties])]);
  return packet(0x30 | (qos << 1), Buffer.concat([head, Buffer.from(payload)]));
}
const sentOver = (version: 4 | 5): fc.Arbitrary<Sent> =>
  fc.oneof(
    fc
      .record({
        topic: fc.constantFrom("plant/a", "plant/ä", "b"),
        payload: fc.oneof(fc.string({ maxLength: 40 }), fc.constant("x".repeat(300))),
        qos: fc.constantFrom(0 as const, 1 as const),
        id: fc.integer({ min: 1, max: 65_535 }),
      })
      .map(({ topic, payload, qos, id }) => ({
        bytes: publish(version, topic, payload, qos, id),
        message: { topic, payload, qos, id: qos === 0 ? 0 : id },
      })),
    fc
      .constantFrom(
        publish(version, "plant/a", "twice told", 2, 7),
        publish(version, "plant/a", "no number", 1, 0),
        publish(version, "", "no topic", 1, 9),
        packet(0xd0, Buffer.alloc(0)),
        packet(0x90, Buffer.from([0, 1, 1])),
        packet(0x20, Buffer.alloc(200, 1)),
      )
      .map((bytes) => ({ bytes, message: null })),
  );

class Wire extends Duplex {
  readonly written: Buffer[] = [];
  override _read(): void {}
  override _write(chunk: Buffer, _: string, done: () => void): void {
    this.written.push(chunk);
    done();
  }
}

function gateOver(version: 4 | 5, mostBytes = 1_000_000) {
  const wire = new Wire();
  const taken: { readonly message: RawMessage; readonly id: number }[] = [];
  const gate = new PublishGate(
    {
      ...{
        socket: wire,
        protocolVersion: version,
        clock: systemClock,
        turns: new Turns(),
        tellsRetained: true,
        mostBytes,
      },
      take: (message, id) => taken.push({ message, id }) > 0,
    },
    true,
  );
  const passed: Buffer[] = [];
  gate.on("data", (chunk: Buffer) => passed.push(chunk));
  gate.on("error", () => {});
  return { wire, gate, taken, passed: () => Buffer.concat(passed) };
}
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));
/** Until all that the wire holds was read and passed on, whichever turns that takes. */
async function settled(wire: Wire): Promise<void> {
  do await turn();
  while (wire.readableLength > 0 || wire.isPaused());
  await turn();
}

test.each([4, 5] as const)(
  "over MQTT %i messages are taken and all else passes byte by byte, wherever the stream is cut",
  async (version) => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(sentOver(version), { maxLength: 12 }),
        fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1 }),
        async (sent, cuts) => {
          const { wire, taken, passed } = gateOver(version);
          const all = Buffer.concat(sent.map(({ bytes }) => bytes));
          for (let at = 0, cut = 0; at < all.length; cut += 1) {
            const to = Math.min(at + cuts[cut % cuts.length]!, all.length);
            wire.push(all.subarray(at, to));
            at = to;
          }
          await settled(wire);
          const found = taken.map(({ message: { topic, payload, qos }, id }) => ({
            topic,
            payload: Buffer.from(payload).toString(),
            qos,
            id,
          }));
          expect(found).toEqual(sent.flatMap(({ message }) => message ?? []));
          expect(passed()).toEqual(
            Buffer.concat(sent.flatMap(({ bytes, message }) => (message === null ? [bytes] : []))),
          );
        },
      ),
      { numRuns: 150 },
    );
  },
);

test("acknowledgements of a group leave in one write, in order, and before what is written after them", async () => {
  const { wire, gate } = gateOver(4);
  for (const id of [1, 2, 300]) gate.acknowledge(id);
  gate.write(Buffer.from([0xc0, 0]));
  await turn();
  expect(wire.written).toEqual([Buffer.from([0x40, 2, 0, 1, 0x40, 2, 0, 2, 0x40, 2, 1, 44]), Buffer.from([0xc0, 0])]);
});

test("before somebody is let in everything passes", async () => {
  const wire = new Wire();
  const options = {
    socket: wire,
    protocolVersion: 4 as const,
    clock: systemClock,
    turns: new Turns(),
    tellsRetained: true,
    mostBytes: 1_000,
  };
  const gate = new PublishGate({ ...options, take: () => true }, false);
  const passed: Buffer[] = [];
  gate.on("data", (chunk: Buffer) => passed.push(chunk));
  const one = publish(4, "plant/a", "x", 1, 1);
  wire.push(one);
  await settled(wire);
  expect(Buffer.concat(passed)).toEqual(one);
  gate.open();
  wire.push(one);
  await settled(wire);
  expect(Buffer.concat(passed)).toEqual(one);
});

test("a packet larger than is taken ends the connection as soon as its length is known", async () => {
  const { wire, gate, taken } = gateOver(4, 1_000);
  wire.push(Buffer.from([0x32, 0x80, 0x84, 0xaf, 0x5f]));
  await eventually("the connection is over", () => gate.destroyed && wire.destroyed);
  expect([gate.destroyed, wire.destroyed, taken]).toEqual([true, true, []]);
});

test("a length that is none is left to the library, with all that follows", async () => {
  const { wire, taken, passed } = gateOver(4);
  const bytes = Buffer.concat([Buffer.from([0x30, 255, 255, 255, 255, 1]), publish(4, "plant/a", "x", 1, 1)]);
  wire.push(bytes);
  await settled(wire);
  expect([passed(), taken]).toEqual([bytes, []]);
});

test("silence ends a connection, and what is heard puts that off", async () => {
  const { wire, gate } = gateOver(4);
  const closed = new Promise((resolve) => gate.once("close", resolve));
  gate.endAfterSilence(40);
  wire.push(publish(4, "plant/a", "x", 0, 0));
  await closed;
  expect(wire.destroyed).toBe(true);
});
