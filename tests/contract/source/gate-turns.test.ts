import { once } from "node:events";
import { connect } from "node:net";
import { expect, test } from "vitest";
import { systemClock } from "../../../collector/platform/clock.ts";
import { PublishGate } from "../../../collector/source/publish-gate.ts";
import { Turns } from "../../../collector/source/turns.ts";
import { startNode } from "../../system/running-process.ts";

const senders = 8;
const count = 600;
/** QoS 0, topic `a`, 1,000 bytes: MQTT 3.1.1, section 3.3. */
const sends = `
  const message = Buffer.concat([Buffer.from([0x30, 0xeb, 0x07, 0, 1, 0x61]), Buffer.alloc(1_000, 0x78)]);
  const server = require("node:net").createServer((socket) => {
    socket.on("error", () => {});
    socket.end(Buffer.concat(Array(${count}).fill(message)));
  });
  server.listen(0, "127.0.0.1", () => console.log("port " + server.address().port));
`;
/** As long as a message of many readings takes: a chunk of 64 KiB is then 13 ms of work. */
const workMs = 0.2;

test("senders with a backlog, all at once, leave the rest of the process its turns", async () => {
  // Another process, which writes on while this one is busy.
  const sender = startNode(["--eval", sends]);
  const [, port] = await sender.says(/port (\d+)/);
  const turns = new Turns();
  let taken = 0;
  let inTurn = 0;
  let most = 0;
  const looks = setInterval(() => {
    most = Math.max(most, inTurn);
    inTurn = 0;
  }, 0);
  const take = (): boolean => {
    taken += 1;
    inTurn += 1;
    for (const until = performance.now() + workMs; performance.now() < until; );
    return true;
  };
  const gates = Array.from({ length: senders }, () => {
    const socket = connect(Number(port), "127.0.0.1");
    const options = { socket, protocolVersion: 4 as const, clock: systemClock, turns, tellsRetained: false };
    const gate = new PublishGate({ ...options, mostBytes: 1_000_000, take }, true);
    gate.resume();
    return gate;
  });
  await Promise.all(gates.map((gate) => once(gate, "close")));
  clearInterval(looks);
  await sender.stop();
  expect(taken).toBe(senders * count);
  console.log(`at most ${most} messages between two looks at the timers`);
  // 20 ms of work and the chunk that runs over them, twice, for a turn may be cut by the look; without shares it is 500.
  expect(most).toBeLessThan(2 * (20 / workMs + 66));
});
