import { openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import { as, terminal } from "../contract/api/as.ts";
import { post } from "../contract/api/ask.ts";
import { addTestSessions } from "../contract/api/test-sessions.ts";
import { eventually } from "../eventually.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";

/** The real product in a process of its own, on ports that were free, with a data folder of its own if none is given. */
export interface RunningSite {
  readonly url: string;
  readonly mqttUrl: string;
  readonly environment: Readonly<Record<string, string>>;
  /** The process as it runs now: another one after `restart`. */
  product(): RunningProcess;
  /** JSON from the API, asked at a shared terminal; throws for what is no 2xx. */
  ask<T>(path: string, body?: unknown): Promise<T>;
  /** Runs a verb of the command beside it and gives what it said; throws when it fails. */
  command(...words: string[]): Promise<string>;
  /** Kills the product without warning. */
  kill(): Promise<void>;
  /** Starts it again over the same data and ports, and waits until it is ready. */
  restart(): Promise<void>;
  stop(): Promise<void>;
}

export async function startSite(
  config = "simulator/ostrimvale.yaml",
  more: Readonly<Record<string, string>> = {},
): Promise<RunningSite> {
  const folder = temporaryFolder();
  const data = more["STEADYPOUR_DATA"] ?? folder.path;
  const httpPort = await freePort();
  const mqttPort = await freePort();
  const environment = {
    STEADYPOUR_CONFIG: config,
    STEADYPOUR_DATA: data,
    STEADYPOUR_HTTP_PORT: String(httpPort),
    STEADYPOUR_MQTT_PORT: String(mqttPort),
    STEADYPOUR_LOG: "warn",
    ...more,
  };
  const url = `http://127.0.0.1:${httpPort}`;
  let product: RunningProcess;

  const begin = async (): Promise<void> => {
    product = startNode(["dist/api/main.js"], environment);
    const ready = await eventually("the product is ready", async () =>
      product.ended() ? "ended" : (await fetch(`${url}/readyz`)).ok && "ready",
    );
    if (ready === "ended") throw new Error(`the product ended and said:\n${product.said()}`);
    const { journal, people } = openJournalFile(data);
    addTestSessions(people);
    journal.close();
  };
  await begin();

  return {
    url,
    mqttUrl: `mqtt://127.0.0.1:${mqttPort}`,
    environment,
    product: () => product,
    async ask<T>(path: string, body?: unknown) {
      const answer = await fetch(`${url}${path}`, body === undefined ? { headers: as(terminal) } : post(body));
      if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
      return (await answer.json()) as T;
    },
    async command(...words) {
      const verb = startNode(["dist/api/cli/main.js", ...words], environment);
      const code = await verb.exit(120_000);
      if (code !== 0) throw new Error(`steadypour ${words.join(" ")} ended with ${code} and said:\n${verb.said()}`);
      return verb.said();
    },
    async kill() {
      product.signal("SIGKILL");
      await product.exit();
    },
    restart: begin,
    async stop() {
      // A process that is held does not hear SIGTERM.
      product.signal("SIGCONT");
      await product.stop();
      folder.remove();
    },
  };
}
