import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { WebSocket } from "ws";
import type { LiveFrame } from "../../api/contract/wire.ts";
import { groupBounds } from "../../collector/intake/group-bounds.ts";
import { publisher } from "../contract/publisher.ts";
import { freePort } from "../system/free-port.ts";
import { startNode } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { siteText } from "../unit/platform/settings/site-text.ts";
import type { Bench } from "./bench.ts";

const shots = 200;
const shotMs = 30_000;
const warm = 20;
const withinMs = groupBounds.waitMs + 50;

/**
 * Milliseconds, 99 of 100, from the publication of what ends a run outside its specification to the frame of its flag
 * on an open page, through broker, commit, cutting, judging, journal and live stream; nothing waits for late readings.
 * The baseline is the longest that a group of messages is held plus 50 ms.
 */
export const publishToFrame: Bench = {
  name: "publish-to-frame",
  run: async (note) => {
    const folder = temporaryFolder();
    const port = await freePort();
    const settings = join(folder.path, "site.yaml");
    writeFileSync(settings, siteText.replace("lateness: 5 s", "lateness: 0 s"));
    const product = startNode(["dist/api/main.js"], {
      STEADYPOUR_CONFIG: settings,
      STEADYPOUR_DATA: join(folder.path, "data"),
      STEADYPOUR_HTTP_PORT: "0",
      STEADYPOUR_MQTT_PORT: String(port),
    });
    try {
      const [, url = ""] = await product.says(/"http":"([^"]+)"/);
      await product.says(/"started"/);
      const client = await publisher(`mqtt://127.0.0.1:${port}`);
      const page = await openPage(url);
      const took: number[] = [];
      for (let shot = 0; shot < shots; shot += 1) took.push(await oneShot(client, page, shot));
      page.socket.terminate();
      client.end(true);
      const sorted = took.slice(warm).sort((a, b) => a - b);
      const at = (part: number): number => sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))]!;
      note(`median ${at(0.5).toFixed(1)} ms, 90 of 100 ${at(0.9).toFixed(1)}, longest ${at(1).toFixed(1)}`);
      const ours = at(0.99);
      const ratio = ours / withinMs;
      return { name: "publish-to-frame", ours, baseline: withinMs, unit: "ms", ratio, better: "lower", ask: 1 };
    } finally {
      await product.stop();
      folder.remove();
    }
  },
};

interface Page {
  readonly socket: WebSocket;
  /** Resolves with the time of the next frame that tells of a flag. */
  flagged(): Promise<number>;
}

async function openPage(url: string): Promise<Page> {
  const socket = new WebSocket(`${url.replace("http", "ws")}/live`);
  let heard: (ms: number) => void = () => {};
  socket.on("message", (data) => {
    const frame = JSON.parse(String(data)) as LiveFrame;
    if (frame.type === "changes" && frame.flags.length > 0) heard(performance.now());
  });
  await new Promise((resolve, reject) => {
    socket.once("open", resolve);
    socket.once("error", reject);
  });
  const flagged = (): Promise<number> =>
    new Promise((resolve) => {
      heard = resolve;
    });
  return { socket, flagged };
}

/** A shot whose plateau is too low; gives how long its flag took from when what ends it was published. */
async function oneShot(client: MqttClient, page: Page, shot: number): Promise<number> {
  const zeroMs = Math.floor(Date.now() / 1000) * 1000 - (shots - shot + 10) * shotMs;
  const event = (atMs: number, value: number): Promise<unknown> => {
    const body = { v: 1, kind: "event", source: "GW-PR", series: "PR-01/step", t: zeroMs + atMs, value };
    return client.publishAsync("small/GW-PR/event", JSON.stringify(body), { qos: 1 });
  };
  const pressure = (atMs: number, values: readonly number[]): Promise<unknown> => {
    const one = { series: "PR-01/pressure", t: zeroMs + atMs, everyMs: 50, values, unit: "bar" };
    const body = { v: 1, kind: "readings", source: "GW-PR", readings: [one] };
    return client.publishAsync("small/GW-PR/readings", JSON.stringify(body), { qos: 1 });
  };
  await event(0, 1);
  await event(2_000, 5);
  await pressure(
    2_000,
    Array.from({ length: 400 }, (_, i) => 0.7 + 0.002 * (i % 3)),
  );
  await event(22_000, 6);
  // What came before is cut by now, and the moment falls anywhere in the product's own rhythm.
  await new Promise((resolve) => setTimeout(resolve, 150 + 100 * Math.random()));
  const flagged = page.flagged();
  const began = performance.now();
  void event(24_000, 0);
  void pressure(24_001, [0.05]);
  const late = new Promise<never>((_, reject) => {
    setTimeout(() => reject(new Error("no page was told of a flag within 10 s")), 10_000).unref();
  });
  return (await Promise.race([flagged, late])) - began;
}
