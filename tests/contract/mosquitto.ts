import { chmodSync, mkdirSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { join } from "node:path";
import { eventually } from "../eventually.ts";
import { requireCommand } from "../system/find-command.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, start } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";

export interface Mosquitto {
  readonly url: string;
  readonly port: number;
  /** Ends it politely: with `persistence` it writes its sessions down. */
  stop(): Promise<void>;
  /** Ends it at once, as a power cut would. */
  kill(): Promise<void>;
  /** Starts it again on the same port and data. */
  start(): Promise<void>;
  /** Ends it and removes what it kept. */
  remove(): Promise<void>;
}

/** A real Mosquitto on a free port of the loopback, with queues that drop nothing. */
export async function mosquitto(options: { readonly persistence?: boolean } = {}): Promise<Mosquitto> {
  const command = requireCommand("mosquitto");
  const folder = temporaryFolder();
  const data = join(folder.path, "data");
  mkdirSync(data);
  chmodSync(folder.path, 0o777);
  chmodSync(data, 0o777);
  const port = await freePort();
  const config = join(folder.path, "mosquitto.conf");
  const lines = [
    `listener ${port} 127.0.0.1`,
    "allow_anonymous true",
    "max_queued_messages 1000000",
    "max_inflight_messages 2000",
    "message_size_limit 4000000",
    ...(options.persistence === true ? ["persistence true", `persistence_location ${data}/`] : ["persistence false"]),
    "log_dest stderr",
    "log_type error",
    "log_type warning",
  ];
  writeFileSync(config, `${lines.join("\n")}\n`);

  let running: RunningProcess | undefined;
  const begin = async (): Promise<void> => {
    const process = start(command, ["-c", config]);
    running = process;
    await eventually("mosquitto listens", () => {
      if (process.ended()) throw new Error(process.said());
      return accepts(port);
    });
  };
  const stop = async (): Promise<void> => void (await running?.stop());
  await begin();
  return {
    url: `mqtt://127.0.0.1:${port}`,
    port,
    stop,
    kill: async () => {
      running?.signal("SIGKILL");
      await running?.exit();
    },
    start: begin,
    remove: async () => {
      await stop();
      folder.remove();
    },
  };
}

function accepts(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port, "127.0.0.1", () => {
      socket.destroy();
      resolve(true);
    }).once("error", () => resolve(false));
  });
}
