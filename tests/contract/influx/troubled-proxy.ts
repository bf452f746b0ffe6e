import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { gunzipSync } from "node:zlib";

/** What a write through the proxy meets; reads pass but where it says otherwise. */
export type Way =
  | { readonly does: "pass" }
  /** Breaks off without a word, reads too. */
  | { readonly does: "break" }
  /** Answers so many milliseconds later. */
  | { readonly does: "delay"; readonly ms: number }
  /** Answers with a status and words. */
  | { readonly does: "answer"; readonly status: number; readonly body: string; readonly retryAfter?: string }
  /** Stores every other line and says that it has all of them. */
  | { readonly does: "lie"; readonly status: 201 | 204 };

export interface TroubledProxy {
  readonly url: string;
  way: Way;
  /** Most writes under way at once, and most lines in one. */
  readonly most: { readonly atOnce: number; readonly lines: number };
  /** Times of the writes that came. */
  readonly writes: readonly number[];
  stop(): Promise<void>;
}

/** Stands before an InfluxDB and does to what passes whatever it is told. */
export async function troubledProxy(target: string): Promise<TroubledProxy> {
  let way: Way = { does: "pass" };
  let [now, atOnce, lines] = [0, 0, 0];
  const writes: number[] = [];
  const forward = async (request: IncomingMessage, body: Buffer, response: ServerResponse): Promise<void> => {
    const headers: Record<string, string> = {};
    for (const name of ["authorization", "content-type"]) {
      const value = request.headers[name];
      if (typeof value === "string") headers[name] = value;
    }
    const init = request.method === "POST" ? { method: "POST", body: body.toString("utf8"), headers } : { headers };
    const answer = await fetch(`${target}${request.url}`, init);
    const version = answer.headers.get("x-influxdb-version");
    response.writeHead(answer.status, version === null ? {} : { "x-influxdb-version": version });
    response.end(Buffer.from(await answer.arrayBuffer()));
  };
  const handle = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const parts: Buffer[] = [];
    for await (const part of request) parts.push(part as Buffer);
    const sent = Buffer.concat(parts);
    const body = request.headers["content-encoding"] === "gzip" ? gunzipSync(sent) : sent;
    const met = way;
    if (met.does === "break") return void response.destroy();
    if (request.method !== "POST") return forward(request, body, response);
    const text = body.toString("utf8");
    const given = text.split("\n");
    writes.push(performance.now());
    lines = Math.max(lines, given.length);
    now += 1;
    atOnce = Math.max(atOnce, now);
    try {
      if (met.does === "answer") {
        response.writeHead(met.status, met.retryAfter === undefined ? {} : { "Retry-After": met.retryAfter });
        response.end(met.body);
        return;
      }
      if (met.does === "delay") await new Promise((resolve) => setTimeout(resolve, met.ms));
      if (met.does !== "lie" || given[0]?.startsWith("probe")) return await forward(request, body, response);
      const half = given.filter((_, i) => i % 2 === 0).join("\n");
      await fetch(`${target}${request.url}`, { method: "POST", body: half });
      response.writeHead(met.status).end();
    } finally {
      now -= 1;
    }
  };
  const server = createServer((request, response) => {
    handle(request, response).catch(() => response.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    get way() {
      return way;
    },
    set way(next) {
      way = next;
    },
    get most() {
      return { atOnce, lines };
    },
    writes,
    stop: () =>
      new Promise((resolve) => {
        server.closeAllConnections();
        server.close(() => resolve());
      }),
  };
}
