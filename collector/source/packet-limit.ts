import type { Socket } from "node:net";
import type { Client } from "aedes";

/** What aedes 1.2.0 and mqtt-packet 9.0.2 keep of a packet that has not come whole; not public, held by a contract test. */
interface ClientParser {
  readonly _parser: { readonly packet: { readonly length: number } };
}

/** Cuts a connection as soon as it announces a packet larger than `mostBytes`: aedes would gather it all in memory. */
export function packetLimit(client: Client, socket: Socket, mostBytes: number): void {
  const { _parser: parser } = client as unknown as ClientParser;
  socket.on("readable", () => {
    if (parser.packet.length > mostBytes) socket.destroy();
  });
}
