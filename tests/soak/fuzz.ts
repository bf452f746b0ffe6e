import { randomBytes } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { publisher } from "../contract/publisher.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { decoderOf, documentedSources, settingsWith } from "../unit/decode/formats.ts";
import { type FuzzMessage, fuzzMessages } from "./fuzz-messages.ts";

export interface FuzzResult {
  readonly seed: number;
  readonly messages: number;
  /** Messages that the product acknowledged to their sender. */
  readonly acknowledged: number;
  readonly received: number;
  readonly stored: number;
  readonly duplicate: number;
  readonly quarantined: number;
  /** Received less what is stored, there already, or quarantined. */
  readonly unaccounted: number;
  /** By how much what the product received and refused differs from what decoders of our own say of the same messages. */
  readonly otherwise: number;
  /** Rows of the quarantine without a code, of those that are kept. */
  readonly withoutCode: number;
  readonly crashed: boolean;
  /** The product's last words, where it crashed. */
  readonly said: string | null;
  readonly codes: Readonly<Record<string, number>>;
  readonly seconds: number;
  readonly peakMiB: number;
}

const startWithinMs = 60_000;
const underwayMost = 500;
/** So often a connection that speaks no MQTT is opened beside. */
const strangerEvery = 2_000;

/** Sends messages of every format, good, damaged and hostile, into the real product, and counts what became of them. */
export async function fuzz(messages: number, seed: number): Promise<FuzzResult> {
  const folder = temporaryFolder();
  const port = await freePort();
  const settings = join(folder.path, "site.yaml");
  writeFileSync(settings, settingsWith(`${documentedSources}  - { id: GW-CT, topic: "json/GW-CT/#" }\n`));
  const product = startNode(["dist/api/main.js"], {
    STEADYPOUR_CONFIG: settings,
    STEADYPOUR_DATA: join(folder.path, "data"),
    STEADYPOUR_HTTP_PORT: "0",
    STEADYPOUR_MQTT_PORT: String(port),
  });
  try {
    const url = await addressOf(product);
    const began = performance.now();
    const client = await publisher(`mqtt://127.0.0.1:${port}`);
    const sent = await sendAll(client, product, port, messages, seed);
    client.end(true);
    const seconds = (performance.now() - began) / 1000;
    const counts = product.ended() ? null : await countsOf(url);
    const { received = 0, stored = 0, duplicate = 0, quarantined = 0 } = counts ?? {};
    const withoutCode = counts === null ? 0 : await rowsWithoutCode(url);
    const peakMiB = product.ended() ? 0 : peakOf(product.pid);
    const crashed = product.ended() || (await product.stop()) !== 0;
    const { acknowledged, items, refused, codes } = sent;
    return {
      ...{ seed, messages, acknowledged, received, stored, duplicate, quarantined },
      unaccounted: received - stored - duplicate - quarantined,
      otherwise: Math.abs(received - items) + Math.abs(quarantined - refused),
      ...{ withoutCode, crashed, said: crashed ? product.said().slice(-4_000) : null, codes, seconds, peakMiB },
    };
  } finally {
    await product.stop();
    folder.remove();
  }
}

/** True where nothing was lost, made up or broken. */
export function fuzzHeld(result: FuzzResult): boolean {
  const { messages, acknowledged, unaccounted, otherwise, withoutCode, crashed } = result;
  return acknowledged === messages && unaccounted === 0 && otherwise === 0 && withoutCode === 0 && !crashed;
}

interface Sent {
  readonly acknowledged: number;
  readonly items: number;
  readonly refused: number;
  readonly codes: Record<string, number>;
}

async function sendAll(
  client: MqttClient,
  product: RunningProcess,
  port: number,
  messages: number,
  seed: number,
): Promise<Sent> {
  const source = fuzzMessages(seed, Date.now());
  const decoder = decoderOf();
  const codes: Record<string, number> = {};
  let [acknowledged, items, refused, underway] = [0, 0, 0, 0];
  let wake = (): void => {};
  // Also while nothing is acknowledged: the product may have ended.
  const looking = setInterval(() => wake(), 500);
  const untilBelow = async (most: number): Promise<void> => {
    while (underway > most && !product.ended()) {
      await new Promise<void>((resolve) => {
        wake = resolve;
      });
    }
  };
  const note = ({ topic, payload }: FuzzMessage): void => {
    const decoded = decoder.decode({ topic, payload, receivedMs: Date.now(), retained: false, qos: 1 });
    items += decoded.items;
    refused += decoded.rejections.length;
    for (const { code } of decoded.rejections) codes[code] = (codes[code] ?? 0) + 1;
  };
  for (let i = 0; i < messages && !product.ended(); i++) {
    const message = source.next().value;
    note(message);
    underway += 1;
    client.publish(message.topic, message.payload, { qos: 1 }, (error) => {
      underway -= 1;
      if (!error) acknowledged += 1;
      wake();
    });
    if (i % strangerEvery === 0) stranger(port);
    await untilBelow(underwayMost);
  }
  await untilBelow(0);
  clearInterval(looking);
  return { acknowledged, items, refused, codes };
}

/** Speaks no MQTT, and goes. */
function stranger(port: number): void {
  const socket = connect(port, "127.0.0.1", () => socket.end(randomBytes(64)));
  socket.on("error", () => {});
  socket.resume();
}

async function addressOf(product: RunningProcess): Promise<string> {
  const [, found = ""] = await product.says(/"http":"([^"]+)"/, startWithinMs);
  return found;
}

async function countsOf(url: string): Promise<Readonly<Record<string, number>>> {
  return (await (await fetch(`${url}/api/counts`)).json()) as Record<string, number>;
}

async function rowsWithoutCode(url: string): Promise<number> {
  let without = 0;
  for (let after: string | null = null; ; ) {
    const query: string = after === null ? "" : `&after=${encodeURIComponent(after)}`;
    const page = (await (await fetch(`${url}/api/quarantine?limit=500${query}`)).json()) as {
      readonly items: readonly { readonly code: string }[];
      readonly next: string | null;
    };
    without += page.items.filter(({ code }) => !/^[a-z][a-z0-9-]+$/.test(code)).length;
    if (page.next === null) return without;
    after = page.next;
  }
}

function peakOf(pid: number): number {
  const found = /^VmHWM:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, "utf8"));
  return Math.round(Number(found?.[1] ?? 0) / 1024);
}
