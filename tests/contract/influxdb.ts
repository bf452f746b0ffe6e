import { cpSync, mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { eventually } from "../eventually.ts";
import { requireCommand } from "../system/find-command.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, start } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";

export interface InfluxServer {
  readonly url: string;
  readonly port: number;
  /** Folder of its `data`, `wal` and `meta`. */
  readonly path: string;
  /** Rows of an InfluxQL statement, each with its tags, times in milliseconds. */
  ask(statement: string, database?: string): Promise<readonly Readonly<Record<string, unknown>>[]>;
  stop(): Promise<void>;
  /** Ends it at once, as a power cut would. */
  kill(): Promise<void>;
  /** Stops it where it stands; it takes connections and answers nothing. */
  pause(): void;
  resume(): void;
  start(): Promise<void>;
  /** While it does not run: forgets all it kept. */
  wipe(): void;
  /** While it does not run: keeps a copy of all. */
  keepCopy(): void;
  /** While it does not run: puts the copy back. */
  putBack(): void;
  remove(): Promise<void>;
}

export interface InfluxOptions {
  /** Compacts what was not written to for a second, where it usually waits for hours. */
  readonly compactSoon?: boolean;
  /** Lets in only this administrator. */
  readonly login?: { readonly user: string; readonly password: string };
  /** Made at the start; none where null. */
  readonly database?: string | null;
}

/** Debian's InfluxDB 1.6 on free ports of the loopback, with all it keeps in a folder of its own. */
export async function influxdb(options: InfluxOptions = {}): Promise<InfluxServer> {
  const command = requireCommand("influxd", "influxdb");
  const folder = temporaryFolder();
  const copy = temporaryFolder();
  const [http, rpc] = [await freePort(), await freePort()];
  const config = join(folder.path, "influxdb.conf");
  const parts = ["data", "wal", "meta"] as const;
  const make = (): void => {
    for (const part of parts) mkdirSync(join(folder.path, part), { recursive: true });
  };
  const soon = ' cache-snapshot-write-cold-duration = "1s"\n compact-full-write-cold-duration = "1s"';
  const lines = [
    "reporting-disabled = true",
    `bind-address = "127.0.0.1:${rpc}"`,
    `[meta]\n dir = "${join(folder.path, "meta")}"`,
    `[data]\n dir = "${join(folder.path, "data")}"\n wal-dir = "${join(folder.path, "wal")}"\n query-log-enabled = false`,
    ...(options.compactSoon === true ? [soon] : []),
    `[http]\n bind-address = "127.0.0.1:${http}"\n log-enabled = false`,
    ` auth-enabled = ${options.login !== undefined}`,
    "[monitor]\n store-enabled = false",
  ];
  make();
  writeFileSync(config, `${lines.join("\n")}\n`);
  const url = `http://127.0.0.1:${http}`;
  let running: RunningProcess | undefined;

  const call = async (statement: string, database?: string): Promise<Answer> => {
    const { login } = options;
    const word = login === undefined ? "" : Buffer.from(`${login.user}:${login.password}`).toString("base64");
    const place = database === undefined ? {} : { db: database };
    const body = new URLSearchParams({ q: statement, epoch: "ms", ...place });
    const init = { method: "POST", body, headers: word === "" ? {} : { Authorization: `Basic ${word}` } };
    const answer = (await (await fetch(`${url}/query`, init)).json()) as Answer;
    const said = answer.error ?? answer.results?.[0]?.error;
    if (said !== undefined) throw new Error(`InfluxDB: ${said}`);
    return answer;
  };
  const begin = async (): Promise<void> => {
    const started = start(command, ["-config", config], { HOME: folder.path });
    running = started;
    await eventually(
      "InfluxDB answers",
      async () => {
        if (started.ended()) throw new Error(started.said());
        return (await fetch(`${url}/ping`)).status === 204;
      },
      60_000,
    );
  };
  const stop = async (): Promise<void> => void (await running?.stop());
  await begin();
  const { login, database = "steadypour" } = options;
  if (login !== undefined) {
    await call(`CREATE USER "${login.user}" WITH PASSWORD '${login.password}' WITH ALL PRIVILEGES`);
  }
  if (database !== null) await call(`CREATE DATABASE "${database}"`);

  return {
    ...{ url, port: http, path: folder.path },
    ask: async (statement, of = "steadypour") => {
      const answer = await call(statement, of);
      return (answer.results?.[0]?.series ?? []).flatMap(({ tags = {}, columns, values }) =>
        values.map((row) => ({ ...tags, ...Object.fromEntries(columns.map((name, i) => [name, row[i]])) })),
      );
    },
    stop,
    kill: async () => {
      running?.signal("SIGKILL");
      await running?.exit();
    },
    pause: () => running?.signal("SIGSTOP"),
    resume: () => running?.signal("SIGCONT"),
    start: begin,
    wipe: () => {
      for (const part of parts) rmSync(join(folder.path, part), { recursive: true });
      make();
    },
    keepCopy: () => {
      for (const part of parts) cpSync(join(folder.path, part), join(copy.path, part), { recursive: true });
    },
    putBack: () => {
      for (const part of parts) {
        rmSync(join(folder.path, part), { recursive: true });
        cpSync(join(copy.path, part), join(folder.path, part), { recursive: true });
      }
    },
    remove: async () => {
      running?.signal("SIGCONT");
      await stop();
      folder.remove();
      copy.remove();
    },
  };
}

interface Answer {
  readonly error?: string;
  readonly results?: readonly {
    readonly error?: string;
    readonly series?: readonly {
      readonly tags?: Readonly<Record<string, string>>;
      readonly columns: readonly string[];
      readonly values: readonly (readonly unknown[])[];
    }[];
  }[];
}
