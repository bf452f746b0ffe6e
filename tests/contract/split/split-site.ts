import { openJournalFile } from "../../../collector/store/embedded/embedded-journal.ts";
import { eventually } from "../../eventually.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, startNode } from "../../system/running-process.ts";
import { as, terminal } from "../api/as.ts";
import { post } from "../api/ask.ts";
import { addTestSessions } from "../api/test-sessions.ts";

export type Part = "collector" | "api";

/** The product in one process or in two, over a data folder, on ports of its own. */
export interface SplitSite {
  readonly url: string;
  readonly mqttUrl: string;
  readonly environment: Readonly<Record<string, string>>;
  running(part: Part): RunningProcess;
  ask<T>(path: string, body?: unknown): Promise<T>;
  command(...words: string[]): Promise<string>;
  /** Kills that process without warning; in one process it is both. */
  kill(part: Part): Promise<void>;
  begin(part: Part): void;
  ready(): Promise<void>;
  stop(): Promise<void>;
}

export async function splitSite(
  data: string,
  apart: boolean,
  more: Readonly<Record<string, string>> = {},
): Promise<SplitSite> {
  const [http, mqtt] = [await freePort(), await freePort()];
  const environment = {
    STEADYPOUR_CONFIG: "simulator/ostrimvale.yaml",
    STEADYPOUR_DATA: data,
    STEADYPOUR_HTTP_PORT: String(http),
    STEADYPOUR_MQTT_PORT: String(mqtt),
    STEADYPOUR_LOG: "warn",
    ...more,
  };
  const url = `http://127.0.0.1:${http}`;
  const started: RunningProcess[] = [];
  const by = new Map<Part, RunningProcess>();
  const running = (part: Part): RunningProcess => by.get(part)!;
  const begin = (part: Part): void => {
    const roles = apart ? { STEADYPOUR_ROLES: part } : {};
    const one = startNode(["dist/api/main.js"], { ...environment, ...roles });
    started.push(one);
    for (const each of apart ? [part] : (["collector", "api"] as const)) by.set(each, one);
  };
  const ready = async (): Promise<void> => {
    await eventually(
      "it is ready",
      async () => {
        const ended = [...by.values()].find((one) => one.ended());
        if (ended !== undefined) throw new Error(`it ended and said:\n${ended.said()}`);
        return (await fetch(`${url}/readyz`).catch(() => null))?.ok;
      },
      120_000,
    );
    const { journal, people } = openJournalFile(data);
    addTestSessions(people);
    journal.close();
  };
  begin("api");
  if (apart) begin("collector");
  await ready();
  return {
    ...{ url, mqttUrl: `mqtt://127.0.0.1:${mqtt}`, environment, running, begin, ready },
    ask: async <T>(path: string, body?: unknown): Promise<T> => {
      const answer = await fetch(`${url}${path}`, body === undefined ? { headers: as(terminal) } : post(body));
      if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
      return (await answer.json()) as T;
    },
    command: async (...words) => {
      const verb = startNode(["dist/api/cli/main.js", ...words], environment);
      const code = await verb.exit(120_000);
      if (code !== 0) throw new Error(`steadypour ${words.join(" ")} ended with ${code} and said:\n${verb.said()}`);
      return verb.said();
    },
    kill: async (part) => {
      running(part).signal("SIGKILL");
      await running(part).exit();
    },
    stop: async () => {
      for (const one of started) if (!one.ended()) await one.stop();
    },
  };
}
