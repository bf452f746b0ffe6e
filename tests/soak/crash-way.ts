import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { WireLongTerm } from "../../api/contract/wire.ts";
import { openSiteData } from "../../collector/start.ts";
import { countsHere, countsThere } from "../contract/influx/same-counts.ts";
import { type InfluxServer, influxdb } from "../contract/influxdb.ts";
import { mosquitto } from "../contract/mosquitto.ts";
import { type WireTap, wireTap } from "../contract/wire-tap.ts";
import { eventually } from "../eventually.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { startWords } from "../system/start-words.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { orderedSender } from "./ordered-sender.ts";
import { type OwnAcks, ownAcks, type Way } from "./own-acks.ts";
import type { StreamMessage } from "./plant-stream.ts";
import { missingAfterKill, missingOf, site, siteSettings, type Tables, tablesOf } from "./store-check.ts";
import { type Found, putLimits, whatWasFound } from "./what-was-found.ts";

export interface CrashWay {
  /** Places in the stream of what the product acknowledged, and of what was acknowledged to the sender. */
  readonly acknowledged: ReadonlySet<number>;
  readonly toSender: ReadonlySet<number>;
  /** Acknowledged by the product and not in the store, at some kill or at the end; said in words. */
  readonly lost: ReadonlyMap<number, string>;
  /** Not in the store at the end. */
  readonly missing: ReadonlySet<number>;
  readonly tables: Tables;
  readonly found: Found;
  /** Series and days that InfluxDB has otherwise than the store, in words; empty where there was none. */
  readonly there: readonly string[];
}

/** What runs beside, and is killed as well. */
export interface Beside {
  readonly influx?: boolean;
  /** With which brokers collector and api are processes of their own; the product is then the collector. */
  readonly apart?: readonly Way[];
}

type Victim = "product" | "broker" | "both";

/** So long a product may take to take messages again: after some kills of its broker it waits up to half a minute. */
const backMs = 60_000;
/** A kill falls within this time of the start, or of the first message after it. */
const spreadMs = 900;
/** Of the kills so many fall into the start itself. */
const amidStart = 0.25;
/** So many messages are sent before a kill at most. */
const mostAtOnce = 400;
/** And so many into such a start. */
const amidMessages = 50;

/**
 * Sends the stream through the product and kills it, its broker or both (`kill -9`) at random moments, `kills` times;
 * with none this is the run to compare with. What was acknowledged is looked for right after each kill and at the end.
 */
export async function crashWay(
  way: Way,
  stream: readonly StreamMessage[],
  kills: number,
  chance: () => number,
  say: (line: string) => void,
  beside: Beside = {},
): Promise<CrashWay> {
  const folder = temporaryFolder();
  putLimits(folder.path);
  const outside = way === "mosquitto" ? await mosquitto({ persistence: true }) : undefined;
  const port = outside?.port ?? (await freePort());
  const acks = ownAcks(way, stream);
  const tap = await wireTap(port, acks.note);
  const running: RunningProcess[] = [];
  const influx = beside.influx === true ? await influxdb() : null;
  const apart = beside.apart?.includes(way) === true;
  const begin = (roles: string): RunningProcess => {
    const one = startProduct(folder.path, { way, port, tap, roles, influx });
    running.push(one);
    return one;
  };
  const mainRoles = apart ? "collector" : "collector,api";
  let product = begin(mainRoles);
  let api = apart ? begin("api") : null;
  await product.says(/"started"/, backMs);
  const sender = orderedSender(outside?.url ?? tap.url, stream);
  const lost = new Map<number, string>();
  let looked = 0;
  const look = (find: typeof missingOf, when: string): void => {
    const messages = acks.places.slice(looked).map((place) => stream[place]!);
    looked = acks.places.length;
    for (const [message, key] of find(folder.path, messages)) {
      lost.set(stream.indexOf(message), `${when}: acknowledged and not kept: ${JSON.stringify(key)}`);
    }
  };
  let allowed = 0;
  const allow = (count: number, aSecond: number): void => {
    allowed = Math.max(allowed, count);
    sender.allow(allowed, aSecond);
  };
  const goesOn = (since: number): Promise<unknown> => {
    let asked = 0;
    return eventually(
      "messages are acknowledged again",
      () => {
        asked += 1;
        // What was sent while nobody was subscribed is gone with the broker: one more, then, but not so often that a
        // slow start eats up the stream and leaves nothing to compare.
        if (asked % 25 === 0 && sender.acknowledged.size >= allowed) allow(allowed + 1, 100);
        return alive(product) && acks.places.length > since;
      },
      backMs,
      20,
    );
  };

  try {
    // Not more than is sent in a second: what waits in a broker that is killed is gone, and nothing is found in it.
    const part = Math.min(Math.floor((0.95 * stream.length) / Math.max(kills, 1)), mostAtOnce);
    for (let kill = 1; kill <= kills; kill += 1) {
      // Before the first kill each source has been heard: what came before its first number no number can tell.
      if (kill === 1) {
        allow(part, part);
        await firstOfEach(stream, acks, () => alive(product));
      } else if (chance() < amidStart) allow(allowed + amidMessages, amidMessages);
      else {
        // What is sent before somebody takes it is gone with a broker that is killed, and the more of it the slower a start is.
        await goesOn(acks.places.length);
        allow(allowed + part, part);
      }
      await pause(spreadMs * chance());
      alive(product);
      const victim = victimOf(way, chance());
      const influxToo = influx !== null && chance() < 0.6;
      if (influxToo) await influx.kill();
      const apiToo = api !== null && chance() < 0.6;
      if (apiToo) await killed(api!);
      if (victim !== "product") await outside?.kill();
      if (victim !== "broker") await killed(product);
      say(
        `${way}: kill ${kill}, ${victim}${influxToo ? " and InfluxDB" : ""}${apiToo ? " and the api" : ""}, after ${acks.places.length} of ${sender.sent()} messages`,
      );
      if (victim !== "broker") look(missingAfterKill, `kill ${kill}`);
      await pause(300 * chance());
      if (victim !== "product") await outside?.start();
      if (victim !== "broker") product = begin(mainRoles);
      if (apiToo) api = begin("api");
      if (influxToo) await influx.start();
    }
    // Else the rest would go into a broker to which nobody is subscribed yet, and nothing would show that it is gone.
    if (kills > 0) await goesOn(acks.places.length);
    allow(stream.length, 100_000);
    await eventually("the sender is done", () => alive(product) && sender.acknowledged.size === stream.length, 120_000);
    // The last of each source: whatever a broker still holds comes before them.
    const last = new Set(lastOfEach(stream));
    await eventually("the last are acknowledged", () => alive(product) && takenBy(acks, last), 120_000);
    // It takes messages before it has begun all else, and a signal before that ends it at once.
    await product.says(/"started"/, backMs);
    await api?.says(/"started"/, backMs);
    if (influx !== null) await allThere(api ?? product);
    for (const one of api === null ? [product] : [api, product]) {
      const code = await one.stop();
      if (code !== 0) throw new Error(`the product ended with ${code}:\n${one.said().slice(-2_000)}`);
    }
    looked = 0;
    look(missingOf, "at the end");
    const missing = new Set([...missingOf(folder.path, stream).keys()].map((message) => stream.indexOf(message)));
    const tables = tablesOf(folder.path);
    const found = await whatWasFound(folder.path, site);
    const there = influx === null ? [] : await otherwiseThere(folder.path, influx);
    const acknowledged = new Set(acks.places);
    return { acknowledged, toSender: sender.acknowledged, lost, missing, tables, found, there };
  } finally {
    sender.close();
    for (const one of running) if (!one.ended()) await one.stop();
    await tap.close();
    await outside?.remove();
    await influx?.remove();
    folder.remove();
  }
}

/** Waits until all has gone to InfluxDB, by the product's own word. */
async function allThere(product: RunningProcess): Promise<void> {
  const url = /http:\/\/127\.0\.0\.1:\d+/.exec(product.said())?.[0];
  if (url === undefined) throw new Error(`the product does not say where it listens:\n${product.said().slice(-2_000)}`);
  const since = Date.now();
  await eventually(
    "all readings have gone to InfluxDB",
    async () => {
      const { longTerm } = (await (await fetch(`${url}/api/counts`)).json()) as { longTerm: WireLongTerm };
      return alive(product) && longTerm.trouble === null && Date.parse(longTerm.upToDate ?? "") > since;
    },
    120_000,
    200,
  );
}

async function otherwiseThere(folder: string, influx: InfluxServer): Promise<readonly string[]> {
  const data = openSiteData(folder, site);
  const here = countsHere(data.samples);
  data.close();
  const there = await countsThere(influx, "steadypour");
  const days = [...new Set([...Object.keys(here), ...Object.keys(there)])];
  return days
    .filter((day) => here[day] !== there[day])
    .map((day) => `${day}: ${here[day] ?? 0} readings in the store, ${there[day] ?? 0} in InfluxDB`);
}

function startProduct(
  data: string,
  parts: {
    readonly way: Way;
    readonly port: number;
    readonly tap: WireTap;
    readonly roles: string;
    readonly influx: InfluxServer | null;
  },
): RunningProcess {
  const { way, port, tap, roles, influx } = parts;
  const config = join(data, "site.yaml");
  writeFileSync(config, siteSettings);
  return startNode(startWords, {
    STEADYPOUR_CONFIG: config,
    STEADYPOUR_DATA: data,
    STEADYPOUR_HTTP_PORT: "0",
    STEADYPOUR_ROLES: roles,
    ...(influx === null ? {} : { STEADYPOUR_INFLUX_URL: influx.url, STEADYPOUR_INFLUX_DATABASE: "steadypour" }),
    ...(way === "mosquitto" ? { STEADYPOUR_BROKER_URL: tap.url } : { STEADYPOUR_MQTT_PORT: String(port) }),
  });
}

async function killed(one: RunningProcess): Promise<void> {
  one.signal("SIGKILL");
  await one.exit();
}

function victimOf(way: Way, chance: number): Victim {
  if (way === "embedded" || chance < 0.5) return "product";
  return chance < 0.8 ? "broker" : "both";
}

function alive(product: RunningProcess): true {
  if (product.ended()) throw new Error(`the product ended by itself and said:\n${product.said().slice(-2_000)}`);
  return true;
}

function firstOfEach(stream: readonly StreamMessage[], acks: OwnAcks, ask: () => true): Promise<unknown> {
  const first = new Set([
    ...new Map(stream.map(({ source }, place) => [source, place] as const).toReversed()).values(),
  ]);
  return eventually("every source is heard", () => ask() && takenBy(acks, first), backMs);
}

function lastOfEach(stream: readonly StreamMessage[]): Iterable<number> {
  return new Map(stream.map(({ source }, place) => [source, place])).values();
}

function takenBy({ places }: OwnAcks, wanted: ReadonlySet<number>): boolean {
  return new Set(places.filter((place) => wanted.has(place))).size === wanted.size;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
