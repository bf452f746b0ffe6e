import { connect } from "node:net";
import { singleReadings } from "./single-readings.ts";

/**
 * Publishes single readings at QoS 1 as fast as they are acknowledged, as a process: no client library limits it.
 * `node send-raw.js PORT COUNT`; prints the seconds until the last was acknowledged, and when it began and ended.
 */
const WINDOW = 2_000;
const [port = 0, count = 0] = process.argv.slice(2).map(Number);
const hourMs = 3_600_000;
const packets = singleReadings(Math.floor(Date.now() / hourMs) * hourMs - 20 * hourMs, count).map(publishPacket);

const socket = connect(port, "127.0.0.1").setNoDelay(true);
let [sent, acknowledged, began] = [0, 0, 0];
let rest: Buffer = Buffer.alloc(0);
const pump = (): void => {
  const some: Buffer[] = [];
  while (sent < count && sent - acknowledged < WINDOW) some.push(packets[sent++]!);
  if (some.length > 0) socket.write(Buffer.concat(some));
};
socket.on("connect", () => socket.write(connectPacket("send-raw")));
socket.on("data", (chunk: Buffer) => {
  rest = rest.length === 0 ? chunk : Buffer.concat([rest, chunk]);
  // CONNACK and PUBACK are four bytes each (MQTT 3.1.1, sections 3.2 and 3.4), and nothing else is to come.
  for (; rest.length >= 4; rest = rest.subarray(4)) {
    if (rest[0] === 0x20) began = Date.now();
    else if (rest[0] === 0x40) acknowledged += 1;
    else throw new Error(`an unexpected packet: ${rest[0]}`);
  }
  if (acknowledged < count) return pump();
  const ended = Date.now();
  console.log(JSON.stringify({ seconds: (ended - began) / 1000, began, ended }));
  socket.end();
});

/** Section 3.1: protocol level 4, a clean session, keep-alive off. */
function connectPacket(clientId: string): Buffer {
  return packet(0x10, [text("MQTT"), Buffer.from([4, 2, 0, 0]), text(clientId)]);
}

/** Section 3.3: QoS 1, the packet identifier between topic and payload. */
function publishPacket({ topic, payload }: { topic: string; payload: string }, place: number): Buffer {
  const id = (place % 65_535) + 1;
  return packet(0x32, [text(topic), Buffer.from([id >> 8, id & 255]), Buffer.from(payload)]);
}

function packet(first: number, parts: readonly Buffer[]): Buffer {
  const body = Buffer.concat(parts);
  const length: number[] = [];
  for (let left = body.length; length.length === 0 || left > 0; left >>= 7) {
    length.push((left & 127) | (left > 127 ? 128 : 0));
  }
  return Buffer.concat([Buffer.from([first, ...length]), body]);
}

function text(words: string): Buffer {
  const bytes = Buffer.from(words);
  return Buffer.concat([Buffer.from([bytes.length >> 8, bytes.length & 255]), bytes]);
}
