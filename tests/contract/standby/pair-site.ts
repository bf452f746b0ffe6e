import { openJournalFile } from "../../../collector/store/embedded/embedded-journal.ts";
import { canBeWritten } from "../../../collector/store/embedded/fence.ts";
import { eventually } from "../../eventually.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, startNode } from "../../system/running-process.ts";
import { as, terminal } from "../api/as.ts";
import { post } from "../api/ask.ts";
import { addTestSessions } from "../api/test-sessions.ts";

export type Name = "a" | "b";
/** How the one that holds the line is made to lose it; `pause-between-writes` takes care that it is not amid one. */
export type Forced = "kill" | "pause" | "pause-between-writes" | "stop";

/** Two collectors of one line over one data folder, and the api beside them, as processes of their own. */
export interface PairSite {
  readonly url: string;
  running(name: Name): RunningProcess;
  /** The one that holds the line. */
  active(): Name;
  ask<T>(path: string, body?: unknown): Promise<T>;
  begin(name: Name): void;
  /** Waits until it stands by. */
  standsBy(name: Name): Promise<unknown>;
  /** Forces a take-over: gives the milliseconds until the other one has begun. One that was paused stays so. */
  takeOver(forced: Forced): Promise<number>;
  stop(): Promise<void>;
}

const backMs = 120_000;

export async function pairSite(
  data: string,
  brokerUrl: string,
  more: Readonly<Record<string, string>>,
): Promise<PairSite> {
  const http = await freePort();
  const environment = {
    STEADYPOUR_DATA: data,
    STEADYPOUR_HTTP_PORT: String(http),
    STEADYPOUR_BROKER_URL: brokerUrl,
    ...more,
  };
  const url = `http://127.0.0.1:${http}`;
  const started: RunningProcess[] = [];
  const by = new Map<Name, RunningProcess>();
  let active: Name = "a";
  const running = (name: Name): RunningProcess => by.get(name)!;
  const begin = (name: Name): void => {
    const one = startNode(["dist/api/main.js"], {
      ...{ ...environment, STEADYPOUR_ROLES: "collector", STEADYPOUR_STANDBY: name },
    });
    started.push(one);
    by.set(name, one);
  };
  const standsBy = (name: Name): Promise<unknown> => running(name).says(/"stands by"/, backMs);

  begin("a");
  await running("a").says(/"started"/, backMs);
  begin("b");
  const api = startNode(["dist/api/main.js"], { ...environment, STEADYPOUR_ROLES: "api", STEADYPOUR_LOG: "warn" });
  started.push(api);
  await standsBy("b");
  await eventually("it is ready", async () => (await fetch(`${url}/readyz`).catch(() => null))?.ok, backMs);
  const { journal, people } = openJournalFile(data);
  addTestSessions(people);
  journal.close();

  return {
    ...{ url, running, begin, standsBy, active: () => active },
    ask: async <T>(path: string, body?: unknown): Promise<T> => {
      const answer = await fetch(`${url}${path}`, body === undefined ? { headers: as(terminal) } : post(body));
      if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
      return (await answer.json()) as T;
    },
    takeOver: async (forced) => {
      const [from, to] = active === "a" ? (["a", "b"] as const) : (["b", "a"] as const);
      const beganMs = performance.now();
      running(from).signal(forced === "kill" ? "SIGKILL" : forced === "stop" ? "SIGTERM" : "SIGSTOP");
      while (forced === "pause-between-writes" && !canBeWritten(data, 200)) {
        running(from).signal("SIGCONT");
        await new Promise((resolve) => setTimeout(resolve, 50));
        running(from).signal("SIGSTOP");
      }
      await running(to).says(/"started"/, backMs);
      active = to;
      return performance.now() - beganMs;
    },
    stop: async () => {
      for (const one of started.toReversed()) {
        // A process that is held does not hear SIGTERM.
        one.signal("SIGCONT");
        if (!one.ended()) await one.stop();
      }
    },
  };
}
