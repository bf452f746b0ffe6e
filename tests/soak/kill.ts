import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { loadSettings } from "../../collector/platform/settings/load.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { openSiteData } from "../../collector/start.ts";
import { mosquitto } from "../contract/mosquitto.ts";
import { publisher } from "../contract/publisher.ts";
import { type SeenPacket, type WireTap, wireTap } from "../contract/wire-tap.ts";
import { eventually } from "../eventually.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import type { SampleKey, StreamMessage } from "./plant-stream.ts";
import { type Found, putLimits, whatWasFound } from "./what-was-found.ts";

/** Where the stream comes from: into our own broker, or from a Mosquitto that we subscribe to. */
export type Way = "embedded" | "mosquitto";

export interface KillRun {
  /** Acknowledged by us at each kill, in messages, and what of it was not in the store right then. */
  readonly kills: readonly { readonly acknowledged: number; readonly missing: readonly SampleKey[] }[];
  /** At the end, when all is acknowledged. */
  readonly missing: readonly SampleKey[];
  readonly stored: number;
  readonly found: Found;
}

const site = demoSite();
const [PUBLISH, PUBACK] = [3, 4];
const startWithinMs = 60_000;

/** Samples that a whole stream leaves in the store: a waveform becomes eight of each axis. */
export function samplesOf(stream: readonly StreamMessage[]): number {
  const keys = stream.flatMap((message) => message.keys);
  return keys.reduce((sum, key) => sum + (key.series.endsWith(".rms") ? 8 : 1), 0);
}

/**
 * Sends the stream through the product and kills it (`kill -9`) as soon as it has acknowledged so many messages, once
 * for each of `killAfter`; looks into the store each time before it starts again. The acknowledgements are read off
 * the wire, so they are those that we sent, whether or not anyone received them.
 */
export async function killRun(
  way: Way,
  stream: readonly StreamMessage[],
  killAfter: readonly number[],
): Promise<KillRun> {
  const folder = temporaryFolder();
  putLimits(folder.path);
  const outside = way === "mosquitto" ? await mosquitto() : undefined;
  const port = outside?.port ?? (await freePort());
  const acks = ownAcks(way);
  const tap = await wireTap(port, acks.note);
  const running: RunningProcess[] = [];
  const clients: MqttClient[] = [];
  try {
    const product = (): Promise<RunningProcess> => startProduct(folder.path, way, port, tap, running);
    let current = await product();
    const client = await publisher(outside?.url ?? tap.url);
    clients.push(client);
    const sent = send(client, stream);

    const kills: KillRun["kills"][number][] = [];
    for (const count of killAfter) {
      await eventually(
        `${count} messages acknowledged`,
        () => ended(current) || acks.payloads.length >= count,
        60_000,
        1,
      );
      current.signal("SIGKILL");
      await current.exit();
      const acknowledged = acks.payloads.length;
      kills.push({ acknowledged, missing: missingOf(folder.path, stream, new Set(acks.payloads)) });
      current = await product();
    }
    await sent;
    await eventually(
      "all is acknowledged",
      () => ended(current) || new Set(acks.payloads).size === stream.length,
      60_000,
    );
    if ((await current.stop()) !== 0) throw new Error(`the product did not stop well:\n${current.said().slice(-2000)}`);
    const missing = missingOf(folder.path, stream, new Set(acks.payloads));
    return { kills, missing, stored: storedSamples(folder.path), found: await whatWasFound(folder.path, site) };
  } finally {
    for (const client of clients) client.end(true);
    for (const one of running) await one.stop();
    await tap.close();
    await outside?.remove();
    folder.remove();
  }
}

async function startProduct(
  data: string,
  way: Way,
  port: number,
  tap: WireTap,
  running: RunningProcess[],
): Promise<RunningProcess> {
  const product = startNode(["dist/api/main.js"], {
    STEADYPOUR_CONFIG: "simulator/ostrimvale.yaml",
    STEADYPOUR_DATA: data,
    STEADYPOUR_HTTP_PORT: "0",
    ...(way === "mosquitto" ? { STEADYPOUR_BROKER_URL: tap.url } : { STEADYPOUR_MQTT_PORT: String(port) }),
  });
  running.push(product);
  await product.says(/"started"/, startWithinMs);
  return product;
}

function ended(product: RunningProcess): false {
  if (product.ended()) throw new Error(`the product ended by itself and said:\n${product.said().slice(-2000)}`);
  return false;
}

/** Notes the payload of every message that the product acknowledged. */
function ownAcks(way: Way): { readonly payloads: string[]; note(packet: SeenPacket): void } {
  const us = way === "mosquitto" ? "client" : "broker";
  const byId = new Map<number, string>();
  const payloads: string[] = [];
  return {
    payloads,
    note: ({ from, type, qos, id, payload }) => {
      if (id === null) return;
      if (type === PUBLISH && qos === 1 && from !== us) byId.set(id, payload.toString());
      const acknowledged = type === PUBACK && from === us ? byId.get(id) : undefined;
      if (acknowledged !== undefined) payloads.push(acknowledged);
    },
  };
}

/** Sends all, a few hundred at a time; resolves when each is acknowledged to its sender. */
async function send(client: MqttClient, stream: readonly StreamMessage[]): Promise<void> {
  const most = 200;
  const underway = new Set<Promise<void>>();
  for (const message of stream) {
    const one: Promise<void> = sendOne(client, message).finally(() => underway.delete(one));
    underway.add(one);
    if (underway.size >= most) await Promise.race(underway);
  }
  await Promise.all(underway);
}

/** MQTT.js gives up on what it is handed while it sends its old messages again and the connection breaks: once more, then. */
async function sendOne(client: MqttClient, { topic, payload }: StreamMessage): Promise<void> {
  for (;;) {
    try {
      await client.publishAsync(topic, payload, { qos: 1 });
      return;
    } catch (error) {
      if (client.disconnecting) return;
      if (!(error as Error).message.includes("Connection closed")) throw error;
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }
}

/** What of these messages is not in the store exactly as it was sent. A (series, time) is there once or not at all: it is the key. */
function missingOf(
  folder: string,
  stream: readonly StreamMessage[],
  payloads: ReadonlySet<string>,
): readonly SampleKey[] {
  const data = openSiteData(folder, site);
  const stored = new Map<string, Map<number, number | null>>();
  const ofSeries = (series: string): Map<number, number | null> => {
    const known = stored.get(series) ?? new Map(everything(data.samples, series).map((s) => [s.tMs, s.value]));
    stored.set(series, known);
    return known;
  };
  const wanted = stream.filter((message) => payloads.has(message.payload)).flatMap((message) => message.keys);
  const missing = wanted.filter(({ series, tMs, value }) => {
    const found = ofSeries(series).get(tMs);
    return value === null ? found === undefined : found !== value;
  });
  data.close();
  return missing;
}

/** All samples of the site, late ones included. */
function storedSamples(folder: string): number {
  const data = openSiteData(folder, site);
  const measures = ["", ".rms", ".peak", ".f1", ".half", ".one", ".two", ".hf", ".dc"];
  const names = site.stations
    .flatMap((s) => Object.values(s.series))
    .flatMap(({ id }) => measures.map((m) => `${id}${m}`));
  const count = names.reduce((sum, name) => sum + everything(data.samples, name).length, 0);
  data.close();
  return count;
}

function everything(
  samples: ReturnType<typeof openSiteData>["samples"],
  series: string,
): readonly { tMs: number; value: number | null }[] {
  return samples.read({ series, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER }, { includeLate: true });
}

function demoSite(): Site {
  const file = join("simulator", "ostrimvale.yaml");
  const settings = loadSettings(readFileSync(file));
  if (!settings.ok) throw new Error(`${file}: ${JSON.stringify(settings.mistakes)}`);
  return settings.site;
}
