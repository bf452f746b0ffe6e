import { Agent as HttpAgent } from "node:http";
import { Agent as HttpsAgent } from "node:https";
import { HttpError, InfluxDB, type WriteApi } from "@influxdata/influxdb-client";
import type { InfluxAccess } from "../../platform/influx-access.ts";
import { influxHost, writePath } from "./influx-address.ts";
import { InfluxTrouble, retryAfterMs, troubleOf } from "./influx-trouble.ts";

/** Lines of one chunk at most, and bytes: what InfluxDB's own pages recommend. */
export const CHUNK_LINES = 5_000;
export const CHUNK_BYTES = 4_000_000;
const TIMEOUT_MS = 30_000;

export interface InfluxWriter {
  /** Resolves when InfluxDB said that it has all of the lines; rejects with an InfluxTrouble. One call at a time. */
  write(lines: readonly string[], precision?: "ms" | "ns"): Promise<void>;
  close(): void;
}

/**
 * Writes through InfluxDB's client, as a transport alone: its buffer, its retries and its timers are all off. Its batch
 * is larger than any chunk of ours, because a batch that fills by itself is sent at once and its failure swallowed.
 */
export function influxWriter(access: InfluxAccess, timeoutMs: number = TIMEOUT_MS): InfluxWriter {
  const { url, version, authorization, ca } = access;
  const secure = url.startsWith("https:");
  const keep = { keepAlive: true, maxSockets: 2 };
  const agent = secure ? new HttpsAgent({ ...keep, ...(ca === null ? {} : { ca }) }) : new HttpAgent(keep);
  const client = new InfluxDB({
    url,
    timeout: timeoutMs,
    headers: authorization === null ? {} : { Authorization: authorization },
    transportOptions: { agent },
  });
  let wrote: readonly string[] = [];
  const api: WriteApi = client.getWriteApi(access.org, access.database, "ms", {
    batchSize: CHUNK_LINES + 1,
    maxBatchBytes: 4 * CHUNK_BYTES,
    flushInterval: 0,
    maxRetries: 0,
    maxRetryTime: 10 * timeoutMs,
    maxBufferLines: 1,
    gzipThreshold: 1_000,
    // A promise keeps the client from retrying, and from writing to the console.
    writeFailed: (error) => Promise.reject(error),
    writeSuccess: (texts) => {
      wrote = texts;
    },
  });
  const where = influxHost(access);
  return {
    write: async (lines, precision = "ms") => {
      if (lines.length > CHUNK_LINES) throw new RangeError(`a chunk of ${lines.length} lines, at most ${CHUNK_LINES}`);
      api.path = writePath(access, precision);
      wrote = [];
      // One text of all lines: line by line the client measures and keeps each of them by itself, which costs as much as making them.
      const text = lines.join("\n");
      api.writeRecord(text);
      try {
        await api.flush();
      } catch (error) {
        throw troubled(error, where, version);
      }
      // An empty buffer flushes well too: success is what was said of these lines.
      if (wrote.length !== 1 || wrote[0] !== text)
        throw new InfluxTrouble("away", "influx-away", `${where} did not say that it took these lines`);
    },
    close: () => {
      api.dispose();
      agent.destroy();
    },
  };
}

function troubled(error: unknown, where: string, version: number): InfluxTrouble {
  if (error instanceof HttpError) {
    const { statusCode, headers } = error;
    const header = headers?.["retry-after"];
    const after = retryAfterMs(Array.isArray(header) ? header[0] : header, Date.now());
    if (statusCode >= 200 && statusCode < 400) {
      const words = `${where} answers ${statusCode} to lines of version ${version}, look at url and version`;
      return new InfluxTrouble("configuration", "influx-wrong-version", words);
    }
    return troubleOf(statusCode, error.body ?? error.message, after, where);
  }
  const { message, code } = error as Error & { readonly code?: string };
  const words = code === undefined || message.includes(code) ? message : `${message} (${code})`;
  return new InfluxTrouble("away", "influx-away", `${where} does not answer: ${words || "connection failed"}`);
}
