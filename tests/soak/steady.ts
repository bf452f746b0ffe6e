import { readdirSync, readFileSync } from "node:fs";
import { type AddressInfo, createServer, type Socket } from "node:net";
import { join } from "node:path";
import { WebSocket } from "ws";
import { requireCommand } from "../system/find-command.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, start } from "../system/running-process.ts";
import { startWords } from "../system/start-words.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { orderedSender } from "./ordered-sender.ts";
import { plantStream } from "./plant-stream.ts";
import { putLimits } from "./what-was-found.ts";

export interface SteadyOptions {
  /** Hours of the plant's time. */
  readonly hours: number;
  /** Times as fast as the plant; Infinity for as fast as they are taken, as after an outage. */
  readonly speed: number;
  /** A page beside the others that takes nothing in. */
  readonly stalled: boolean;
  /** What each sync of the disk takes longer. */
  readonly slowDiskMs: number;
  /** A long-term store that takes connections and never answers. */
  readonly influxHangs: boolean;
}

/** One look at the running product. */
export interface SteadySample {
  readonly seconds: number;
  readonly rssMiB: number;
  readonly handles: number;
  /** How late the event loop ran since the look before, 99 of 100. */
  readonly loopMs: number;
  /** Source time by which cutting lies behind, of the station that is furthest behind. */
  readonly lagSeconds: number;
  /** Messages that should have been acknowledged by now and are not. */
  readonly owed: number;
}

export interface SteadyResult {
  readonly sent: number;
  readonly acknowledged: number;
  readonly seconds: number;
  readonly peakMiB: number;
  readonly framesRead: number;
  readonly crashed: boolean;
  readonly samples: readonly SteadySample[];
}

const LOOK_MS = 1_000;
const startWithinMs = 120_000;

/** Plays the whole plant into the real product at a steady pace, with a page open, and looks at it once a second. */
export async function steady(options: SteadyOptions): Promise<SteadyResult> {
  const { hours, speed } = options;
  const [lengthMs, minute] = [hours * 3_600_000, 60_000];
  const fromMs = Math.floor(Date.now() / minute) * minute - lengthMs - 10 * minute;
  const stream = plantStream(7, fromMs, fromMs + lengthMs);
  const folder = temporaryFolder();
  putLimits(folder.path);
  const port = await freePort();
  const hanging = options.influxHangs ? await hangingServer() : null;
  const product = startProduct(folder.path, port, options.slowDiskMs, hanging?.url);
  const pages: WebSocket[] = [];
  try {
    const [, url = ""] = await product.says(/"http":"([^"]+)"/, startWithinMs);
    await product.says(/"started"/, startWithinMs);
    let framesRead = 0;
    const page = await open(url, pages);
    page.on("message", () => {
      framesRead += 1;
    });
    if (options.stalled) (await open(url, pages)).pause();

    const sender = orderedSender(`mqtt://127.0.0.1:${port}`, stream);
    const began = performance.now();
    const samples: SteadySample[] = [];
    let due = 0;
    while (!product.ended() && sender.acknowledged.size < stream.length) {
      const playedMs = fromMs + (performance.now() - began) * speed;
      while (due < stream.length && (speed === Number.POSITIVE_INFINITY || stream[due]!.keys[0]!.tMs <= playedMs))
        due += 1;
      // The last minute and what comes after it are sent when all before them are.
      if (playedMs > fromMs + lengthMs) due = stream.length;
      sender.allow(due, 1_000_000);
      await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
      const owed = due - sender.acknowledged.size;
      samples.push(await look(product.pid, url, { seconds: (performance.now() - began) / 1000, owed }));
    }
    const peakMiB = product.ended() ? 0 : Math.round(inStatus(product.pid, "VmHWM") / 1024);
    const seconds = (performance.now() - began) / 1000;
    sender.close();
    for (const one of pages) one.terminate();
    const crashed = product.ended() || (await product.stop()) !== 0;
    return {
      sent: stream.length,
      acknowledged: sender.acknowledged.size,
      seconds,
      peakMiB,
      framesRead,
      crashed,
      samples,
    };
  } finally {
    await product.stop();
    hanging?.close();
    folder.remove();
  }
}

async function hangingServer(): Promise<{ readonly url: string; close(): void }> {
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on("close", () => sockets.delete(socket));
    socket.on("error", () => socket.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    close: () => {
      for (const socket of sockets) socket.destroy();
      server.close();
    },
  };
}

function startProduct(data: string, port: number, slowDiskMs: number, influx: string | undefined): RunningProcess {
  const environment = {
    STEADYPOUR_CONFIG: "simulator/ostrimvale.yaml",
    STEADYPOUR_DATA: data,
    STEADYPOUR_HTTP_PORT: "0",
    STEADYPOUR_MQTT_PORT: String(port),
    ...(influx === undefined ? {} : { STEADYPOUR_INFLUX_URL: influx, STEADYPOUR_INFLUX_DATABASE: "steadypour" }),
  };
  const words = startWords;
  if (slowDiskMs === 0) return start(process.execPath, words, environment);
  // -D: strace steps aside, so that the process we have is the product itself.
  const delay = `inject=fsync:delay_enter=${slowDiskMs * 1000}`;
  const traced = ["-D", "-f", "-qq", "-o", "/dev/null", "-e", "trace=fsync", "-e", delay, process.execPath, ...words];
  return start(requireCommand("strace"), traced, environment);
}

async function open(url: string, pages: WebSocket[]): Promise<WebSocket> {
  const socket = new WebSocket(`${url.replace("http", "ws")}/live`);
  pages.push(socket);
  await new Promise((resolve, reject) => {
    socket.once("open", resolve);
    socket.once("error", reject);
  });
  // The product drops a page that does not read; that is no failure of this run.
  socket.on("error", () => {});
  return socket;
}

async function look(pid: number, url: string, given: Pick<SteadySample, "seconds" | "owed">): Promise<SteadySample> {
  const text = await (await fetch(`${url}/metrics`)).text();
  const values = (name: RegExp): readonly number[] =>
    [...text.matchAll(new RegExp(`^steadypour_${name.source} (\\S+)$`, "gm"))].map((match) => Number(match[1]));
  return {
    ...given,
    rssMiB: inStatus(pid, "VmRSS") / 1024,
    handles: readdirSync(join("/proc", String(pid), "fd")).length,
    loopMs: 1000 * (values(/event_loop_delay_seconds\{quantile="0.99"\}/)[0] ?? Number.NaN),
    lagSeconds: Math.max(0, ...values(/pipeline_lag_seconds\{[^}]*\}/)),
  };
}

function inStatus(pid: number, name: string): number {
  const [, found = "NaN"] = new RegExp(`${name}:\\s+(\\d+) kB`).exec(readFileSync(`/proc/${pid}/status`, "utf8")) ?? [];
  return Number(found);
}
