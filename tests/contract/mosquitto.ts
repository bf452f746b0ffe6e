import { execFileSync } from "node:child_process";
import { chmodSync, copyFileSync, mkdirSync, rmSync, writeFileSync } from "node:fs";
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
  /** Removes what it kept, while it does not run: it begins again knowing nobody. */
  wipe(): void;
  /** Ends it and removes what it kept. */
  remove(): Promise<void>;
}

export interface MosquittoOptions {
  readonly persistence?: boolean;
  /** In place of a queue that drops nothing. */
  readonly mostQueued?: number;
  /** Over TLS, with this server's files; with `clients`, only for who has a certificate of the authority. */
  readonly tls?: {
    readonly file: string;
    readonly certFile: string;
    readonly keyFile: string;
    readonly clients?: boolean;
  };
  /** Only this one is let in. */
  readonly login?: { readonly user: string; readonly password: string };
}

/** A real Mosquitto on a free port of the loopback, with queues that drop nothing unless told. */
export async function mosquitto(options: MosquittoOptions = {}): Promise<Mosquitto> {
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
    ...admission(options, folder.path),
    `max_queued_messages ${options.mostQueued ?? 1_000_000}`,
    "sys_interval 1",
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
    url: `${options.tls === undefined ? "mqtt" : "mqtts"}://127.0.0.1:${port}`,
    port,
    stop,
    kill: async () => {
      running?.signal("SIGKILL");
      await running?.exit();
    },
    start: begin,
    wipe: () => {
      rmSync(data, { recursive: true });
      mkdirSync(data);
      chmodSync(data, 0o777);
    },
    remove: async () => {
      await stop();
      folder.remove();
    },
  };
}

function admission({ tls, login }: MosquittoOptions, folder: string): readonly string[] {
  // Copies that the user may read to whom it changes when it is started as root.
  const copy = (file: string, name: string): string => {
    copyFileSync(file, join(folder, name));
    chmodSync(join(folder, name), 0o644);
    return join(folder, name);
  };
  const lines: string[] = [];
  if (tls !== undefined) {
    lines.push(`certfile ${copy(tls.certFile, "cert.pem")}`, `keyfile ${copy(tls.keyFile, "key.pem")}`);
    lines.push(`cafile ${copy(tls.file, "ca.pem")}`);
    if (tls.clients === true) lines.push("require_certificate true", "use_identity_as_username true");
  }
  if (login === undefined) return [...lines, "allow_anonymous true"];
  const passwords = join(folder, "passwords");
  execFileSync(requireCommand("mosquitto_passwd"), ["-b", "-c", passwords, login.user, login.password], {
    stdio: "pipe",
  });
  chmodSync(passwords, 0o644);
  return [...lines, "allow_anonymous false", `password_file ${passwords}`];
}

function accepts(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port, "127.0.0.1", () => {
      socket.destroy();
      resolve(true);
    }).once("error", () => resolve(false));
  });
}
