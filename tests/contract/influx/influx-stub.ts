import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import { createServer as createSecureServer } from "node:https";
import type { AddressInfo } from "node:net";
import { gunzipSync } from "node:zlib";

/**
 * Stands in for InfluxDB 2 and 3, of which no real server runs in these tests: it answers as their documentation says
 * (docs.influxdata.com: `/api/v2/write`, the 1.x-compatible `/query` with the mapping of buckets, token headers, partial
 * writes). It knows just the questions that the product asks.
 */
export interface InfluxStub {
  readonly url: string;
  /** Lines stored, by measurement, tags and time: the newer field wins. */
  readonly points: ReadonlyMap<string, ReadonlyMap<string, string>>;
  /** Paths of the requests, without what is asked. */
  readonly requests: readonly {
    readonly path: string;
    readonly params: URLSearchParams;
    readonly authorization: string;
  }[];
  /** Lines with this word are refused. */
  refuses: string | null;
  wipe(): void;
  stop(): Promise<void>;
}

export async function influxStub(
  version: 2 | 3,
  token: string,
  bucket: string,
  tls?: { readonly cert: string; readonly key: string },
): Promise<InfluxStub> {
  const points = new Map<string, Map<string, string>>();
  const requests: { path: string; params: URLSearchParams; authorization: string }[] = [];
  let refuses: string | null = null;

  const write = (body: string): { readonly status: number; readonly text: string } => {
    const bad: { line_number: number; original_line: string; error_message: string }[] = [];
    body.split("\n").forEach((line, i) => {
      const [, key, fields, time] = /^((?:\\.|[^ ])+) (.*) (-?\d+)$/.exec(line) ?? [];
      if (key === undefined || (refuses !== null && line.includes(refuses))) {
        bad.push({ line_number: i + 1, original_line: line, error_message: "invalid column type" });
        return;
      }
      const place = `${key} ${time}`;
      const merged = points.get(place) ?? new Map<string, string>();
      for (const [, name, value] of fields!.matchAll(/(\w+)=("(?:\\.|[^"\\])*"|[^,]+)/g)) merged.set(name!, value!);
      points.set(place, merged);
    });
    if (bad.length === 0) return { status: 204, text: "" };
    // Version 3 stores the good lines and lists the others, version 2 says of one what is wrong and stores the good ones.
    if (version === 3) {
      return { status: 400, text: JSON.stringify({ error: "partial write of line protocol occurred", data: bad }) };
    }
    return {
      status: 422,
      text: JSON.stringify({ code: "unprocessable entity", message: "field type conflict dropped=1" }),
    };
  };

  const handle = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const parts: Buffer[] = [];
    for await (const part of request) parts.push(part as Buffer);
    const sent = Buffer.concat(parts);
    const body = (request.headers["content-encoding"] === "gzip" ? gunzipSync(sent) : sent).toString("utf8");
    const url = new URL(request.url ?? "/", "http://stub");
    const authorization = request.headers.authorization ?? "";
    requests.push({ path: url.pathname, params: url.searchParams, authorization });
    response.setHeader("x-influxdb-version", version === 2 ? "v2.7.12" : "3.2.1");
    const answer = (status: number, text: string): void => void response.writeHead(status).end(text);
    if (url.pathname === "/ping") return answer(version === 2 ? 204 : 200, "");
    if (authorization !== `Token ${token}`) {
      return answer(401, JSON.stringify({ code: "unauthorized", message: "unauthorized access" }));
    }
    if (url.pathname === "/api/v2/write") {
      if (url.searchParams.get("bucket") !== bucket) {
        return answer(
          404,
          JSON.stringify({ code: "not found", message: `bucket "${url.searchParams.get("bucket")}" not found` }),
        );
      }
      const { status, text } = write(body);
      return answer(status, text);
    }
    if (url.pathname === "/query") return answer(200, JSON.stringify(asked(url.searchParams, bucket, points)));
    return answer(404, "404 page not found");
  };
  const server = tls === undefined ? createServer(handle) : createSecureServer(tls, handle);
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  return {
    url: `${tls === undefined ? "http" : "https"}://127.0.0.1:${(server.address() as AddressInfo).port}`,
    ...{ points, requests },
    get refuses() {
      return refuses;
    },
    set refuses(next) {
      refuses = next;
    },
    wipe: () => points.clear(),
    stop: () =>
      new Promise((resolve) => {
        server.closeAllConnections();
        server.close(() => resolve());
      }),
  };
}

/** A wrong database or retention policy gives an empty answer, as the mapping of buckets does. */
function asked(params: URLSearchParams, bucket: string, points: InfluxStub["points"]): unknown {
  const place = [params.get("db"), params.get("rp")].filter((part) => part !== null).join("/");
  const none = { results: [{ statement_id: 0 }] };
  if (place !== bucket) return none;
  const q = params.get("q") ?? "";
  const number = (pattern: RegExp): number => Number(pattern.exec(q)?.[1] ?? Number.NaN);
  const [fromMs, toMs] = [number(/time >= (-?\d+)ms/), number(/time < (-?\d+)ms/)];
  const measurement = /FROM "(\w+)"/.exec(q)?.[1] ?? "";
  const series = /"series" = '([^']*)'/.exec(q)?.[1];
  const rows = [...points].flatMap(([key, fields]) => {
    const [head = "", time = ""] = key.split(/ (?=-?\d+$)/);
    const tags = Object.fromEntries(
      head
        .split(",")
        .slice(1)
        .map((tag) => tag.split("=") as [string, string]),
    );
    const tMs = measurement === "run_value" ? Number(BigInt(time) / 1_000_000n) : Number(time);
    if (!head.startsWith(`${measurement},`) || !(tMs >= fromMs && tMs < toMs)) return [];
    return series === undefined || tags["series"] === series ? [{ tMs, tags, fields }] : [];
  });
  rows.sort((a, b) => a.tMs - b.tMs);
  const by = /GROUP BY "(\w+)"/.exec(q)?.[1];
  if (by !== undefined) {
    const counts = new Map<string, number>();
    for (const { tags } of rows) counts.set(tags[by]!, (counts.get(tags[by]!) ?? 0) + 1);
    const groups = [...counts].map(([name, n]) => ({
      name: measurement,
      tags: { [by]: name },
      columns: ["time", "count"],
      values: [[fromMs, n]],
    }));
    return { results: [{ statement_id: 0, series: groups }] };
  }
  const columns = ["time", ...[...q.matchAll(/"(\w+)"(?=,| FROM)/g)].map(([, name]) => name!)];
  const limit = number(/LIMIT (\d+)/);
  const values = rows
    .slice(0, Number.isNaN(limit) ? rows.length : limit)
    .map(({ tMs, fields }) => [tMs, ...columns.slice(1).map((name) => cell(fields.get(name)))]);
  return values.length === 0
    ? none
    : { results: [{ statement_id: 0, series: [{ name: measurement, columns, values }] }] };
}

function cell(text: string | undefined): unknown {
  if (text === undefined) return null;
  return text.startsWith('"') ? text.slice(1, -1).replaceAll(/\\(.)/gs, "$1") : Number.parseFloat(text);
}
