import { createServer, type Socket } from "node:net";
import { expect, test } from "vitest";
import { systemClock } from "../../../collector/platform/clock.ts";
import { openConnection } from "../../../collector/source/held-connection.ts";
import { eventually } from "../../eventually.ts";
import { freePort } from "../../system/free-port.ts";

const keepaliveS = 2;
const everyMs = 50;
const PUBLISH = Buffer.from([0x30, 4, 0, 1, 0x61, 0x78]);

interface BusyBroker {
  listen(port: number): void;
  pings(): number;
  hush(): void;
  stop(): void;
}

/** A broker that sends and sends and answers no ping, as Mosquitto 2.0 does while it has a backlog for us. */
function busyBroker(): BusyBroker {
  let pings = 0;
  let client: Socket | undefined;
  let sending: NodeJS.Timeout | undefined;
  /** Sections 3.1, 3.8 and 3.12; none of a client's packets here is longer than one byte of length says. */
  const answer = (socket: Socket, packet: Buffer): void => {
    const type = packet[0]! & 0xf0;
    if (type === 0x10) socket.write(Buffer.from([0x20, 2, 1, 0]));
    else if (type === 0xc0) pings += 1;
    else if (type === 0x80) {
      socket.write(Buffer.from([0x90, 3, packet[2]!, packet[3]!, 0]));
      sending ??= setInterval(() => socket.write(PUBLISH), everyMs);
    }
  };
  const server = createServer((socket) => {
    client = socket.on("error", () => {}).on("close", () => clearInterval(sending));
    socket.on("data", (bytes) => {
      for (let at = 0; at < bytes.length; at += 2 + bytes[at + 1]!) answer(socket, bytes.subarray(at));
    });
  });
  return {
    listen: (port) => void server.listen(port, "127.0.0.1"),
    pings: () => pings,
    hush: () => clearInterval(sending),
    stop: () => {
      client?.destroy();
      server.close();
    },
  };
}

test("a broker that sends is alive whether it answers pings or not, hears ours, and is left when it falls silent", async () => {
  const broker = busyBroker();
  const port = await freePort();
  broker.listen(port);
  let got = 0;
  const connection = openConnection({
    access: { url: `mqtt://127.0.0.1:${port}`, clientId: "kept", protocolVersion: 4 },
    ...{ topics: ["a"], formerTopics: [], clock: systemClock, subscribeAnyway: false, keepaliveS },
    handle: (_, settled) => {
      got += 1;
      settled();
    },
    admitted: () => {},
    system: () => {},
  });
  let end: string | undefined;
  void connection.ended.then(({ reason }) => {
    end = reason;
  });
  try {
    expect(await connection.ready).toBe(true);
    // Half as long again as the library waits for an answer, which is half as long again as the interval.
    const enough = (2.25 * keepaliveS * 1000) / everyMs;
    await eventually("messages came for long enough", () => end !== undefined || got > enough);
    expect(end).toBeUndefined();
    expect(broker.pings()).toBeGreaterThanOrEqual(2);
    broker.hush();
    await eventually("it is given up", () => end !== undefined);
    expect(end).toBe("Keepalive timeout");
  } finally {
    await connection.close();
    broker.stop();
  }
}, 180_000);
