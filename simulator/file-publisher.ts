import { once } from "node:events";
import { createWriteStream } from "node:fs";
import type { Publisher } from "./publisher.ts";

/** Writes what would be sent into a file, one message a line: { topic, payload }. */
export function filePublisher(file: string): Publisher {
  const stream = createWriteStream(file);
  let failed: Error | null = null;
  stream.on("error", (error) => {
    failed = error;
  });
  const send = async (topic: string, payload: string, acknowledged: () => void): Promise<void> => {
    if (failed !== null) throw failed;
    const room = stream.write(`{"topic":${JSON.stringify(topic)},"payload":${payload}}\n`);
    acknowledged();
    if (!room) await once(stream, "drain");
  };
  return {
    send,
    drained: () => Promise.resolve(true),
    close: async () => {
      stream.end();
      await once(stream, "close");
      if (failed !== null) throw failed;
    },
  };
}
