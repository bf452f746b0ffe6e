import { Agent as HttpAgent, request as httpRequest, type IncomingMessage } from "node:http";
import { Agent as HttpsAgent, request as httpsRequest } from "node:https";
import type { InfluxAccess } from "../../platform/influx-access.ts";
import { influxHost, queryPlace } from "./influx-address.ts";
import { InfluxTrouble, retryAfterMs, troubleOf } from "./influx-trouble.ts";

export type Cell = number | string | boolean | null;

export interface Series {
  readonly tags: Readonly<Record<string, string>>;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly Cell[])[];
}

export interface InfluxQuery {
  /** Answers of one InfluxQL statement, times in milliseconds; rejects with an InfluxTrouble. */
  ask(statement: string): Promise<readonly Series[]>;
  /** What the server calls its version; null where it does not say. */
  version(): Promise<string | null>;
  close(): void;
}

const TIMEOUT_MS = 60_000;
/** More than any question of ours is answered with. */
const MOST_BYTES = 64_000_000;

/** Asks by InfluxQL over `/query`, which all three generations have; nothing else of theirs is alike. */
export function influxQuery(access: InfluxAccess, timeoutMs: number = TIMEOUT_MS): InfluxQuery {
  const secure = access.url.startsWith("https:");
  const keep = { keepAlive: true, maxSockets: 4 };
  const tls = access.ca === null ? {} : { ca: access.ca };
  const agent = secure ? new HttpsAgent({ ...keep, ...tls }) : new HttpAgent(keep);
  const where = influxHost(access);
  const headers = access.authorization === null ? {} : { Authorization: access.authorization };

  const call = (path: string): Promise<{ readonly response: IncomingMessage; readonly text: string }> =>
    new Promise((resolve, reject) => {
      const away = (words: string): void => {
        reject(new InfluxTrouble("away", "influx-away", `${where} does not answer: ${words}`));
      };
      const asked = (secure ? httpsRequest : httpRequest)(`${access.url}${path}`, { agent, headers }, (response) => {
        const parts: Buffer[] = [];
        let bytes = 0;
        response.on("data", (part: Buffer) => {
          bytes += part.length;
          if (bytes > MOST_BYTES) asked.destroy(new Error(`more than ${MOST_BYTES} bytes in one answer`));
          else parts.push(part);
        });
        response.on("end", () => resolve({ response, text: Buffer.concat(parts).toString("utf8") }));
        response.on("error", (error) => away(error.message));
      });
      // Of the whole answer, not of a silence in it.
      const timer = setTimeout(() => asked.destroy(new Error(`no answer within ${timeoutMs / 1000} s`)), timeoutMs);
      asked.on("close", () => clearTimeout(timer));
      asked.on("error", (error: Error & { readonly code?: string }) =>
        away(error.message || error.code || "no reason"),
      );
      asked.end();
    });

  return {
    ask: async (statement) => {
      const query = new URLSearchParams({ ...queryPlace(access), epoch: "ms", q: statement });
      const { response, text } = await call(`/query?${query}`);
      const status = response.statusCode ?? 0;
      const after = retryAfterMs(response.headers["retry-after"], Date.now());
      const body = answerOf(text);
      const said = body?.error ?? body?.results?.[0]?.error;
      if (status < 200 || status > 299) throw queryTrouble(troubleOf(status, said ?? text, after, where), where);
      // A question that cannot be answered comes with status 200 in version 1.
      if (said !== undefined) throw queryTrouble(troubleOf(400, said, after, where), where);
      if (body?.results === undefined) {
        throw new InfluxTrouble(
          "configuration",
          "influx-wrong-version",
          `${where} answers something else than InfluxDB`,
        );
      }
      return (body.results[0]?.series ?? []).map(({ tags = {}, columns, values = [] }) => ({
        tags,
        columns,
        rows: values,
      }));
    },
    version: async () => {
      const { response } = await call("/ping");
      const named = response.headers["x-influxdb-version"];
      return typeof named === "string" ? named : null;
    },
    close: () => agent.destroy(),
  };
}

/** A question that is refused is no line at fault. */
function queryTrouble(trouble: InfluxTrouble, where: string): InfluxTrouble {
  if (trouble.kind !== "refused") return trouble;
  return new InfluxTrouble(
    "configuration",
    "influx-unreadable",
    `${where} does not answer our question: ${trouble.message}`,
  );
}

interface Answer {
  readonly error?: string;
  readonly results?: readonly {
    readonly error?: string;
    readonly series?: readonly {
      readonly tags?: Readonly<Record<string, string>>;
      readonly columns: readonly string[];
      readonly values?: readonly (readonly Cell[])[];
    }[];
  }[];
}

function answerOf(text: string): Answer | undefined {
  try {
    const parsed: unknown = JSON.parse(text);
    return typeof parsed === "object" && parsed !== null ? parsed : undefined;
  } catch {
    // Something else than InfluxDB answers there, or its words are no JSON: the caller says so.
    return undefined;
  }
}

/** Text in quotes, for a question. */
export function quoted(text: string): string {
  return `'${text.replaceAll("\\", "\\\\").replaceAll("'", "\\'")}'`;
}
