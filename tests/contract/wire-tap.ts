import { connect, createServer, type Socket } from "node:net";

/** A packet of MQTT 3.1.1 seen on the wire. */
export interface SeenPacket {
  /** Who sent it: the client behind the tap, or the broker. */
  readonly from: "client" | "broker";
  /** Packet type of section 2.2.1: 3 PUBLISH, 4 PUBACK, 8 SUBSCRIBE. */
  readonly type: number;
  readonly qos: number;
  readonly id: number | null;
  readonly payload: Buffer;
}

export interface WireTap {
  readonly url: string;
  readonly seen: SeenPacket[];
  /** Breaks every connection that is open; new ones are taken. */
  cut(): void;
  close(): Promise<void>;
}

/**
 * Stands between a client and a broker, passes all on and notes every packet: what was acknowledged, and when. They
 * are kept in `seen`, or with a `note` of the caller's own only there.
 */
export function wireTap(brokerPort: number, note?: (packet: SeenPacket) => void): Promise<WireTap> {
  const seen: SeenPacket[] = [];
  const take = note ?? ((packet: SeenPacket): void => void seen.push(packet));
  const sockets = new Set<Socket>();
  const server = createServer((client) => {
    const broker = connect(brokerPort, "127.0.0.1");
    for (const socket of [client, broker]) {
      sockets.add(socket.setNoDelay(true));
      socket.on("close", () => {
        sockets.delete(socket);
        client.destroy();
        broker.destroy();
      });
      // The other end was killed or went away: that is what these tests are about.
      socket.on("error", () => socket.destroy());
    }
    for (const [from, source, target] of [
      ["client", client, broker],
      ["broker", broker, client],
    ] as const) {
      const parse = packetParser(from, take);
      source.on("data", (chunk: Buffer) => {
        parse(chunk);
        target.write(chunk);
      });
    }
  });
  const cut = (): void => {
    for (const socket of sockets) socket.destroy();
  };
  return new Promise((resolve) => {
    server.listen(0, "127.0.0.1", () => {
      const address = server.address();
      const port = typeof address === "object" ? address?.port : undefined;
      resolve({
        url: `mqtt://127.0.0.1:${port}`,
        seen,
        cut,
        close: () => {
          cut();
          return new Promise((done) => server.close(() => done()));
        },
      });
    });
  });
}

/** Cuts a stream into packets: fixed header of one byte, remaining length in seven bits a byte (section 2.2.3). */
function packetParser(from: SeenPacket["from"], emit: (packet: SeenPacket) => void): (chunk: Buffer) => void {
  let rest = Buffer.alloc(0);
  return (chunk) => {
    rest = Buffer.concat([rest, chunk]);
    for (;;) {
      let length = 0;
      let at = 1;
      for (let shift = 0; at < rest.length; shift += 7) {
        const byte = rest[at++]!;
        length += (byte & 127) << shift;
        if (byte < 128) break;
        if (at === rest.length) return;
      }
      if (at < 2 || rest.length < at + length) return;
      emit(seenPacket(from, rest[0]!, rest.subarray(at, at + length)));
      rest = rest.subarray(at + length);
    }
  };
}

function seenPacket(from: SeenPacket["from"], header: number, body: Buffer): SeenPacket {
  const type = header >> 4;
  const qos = (header >> 1) & 3;
  if (type !== 3)
    return { from, type, qos, id: body.length >= 2 && type > 3 ? body.readUInt16BE(0) : null, payload: body };
  const afterTopic = 2 + body.readUInt16BE(0);
  const id = qos > 0 ? body.readUInt16BE(afterTopic) : null;
  return { from, type, qos, id, payload: Buffer.from(body.subarray(afterTopic + (qos > 0 ? 2 : 0))) };
}
