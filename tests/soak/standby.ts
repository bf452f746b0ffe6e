import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { isDeepStrictEqual } from "node:util";
import type { WireMessage, WireMessageSetUp, WireSubscribed } from "../../api/contract/message-wire.ts";
import type { WireFlag } from "../../api/contract/wire.ts";
import { openJournal } from "../../collector/store/embedded/embedded-journal.ts";
import { uniform } from "../bench/plant-series.ts";
import { mosquitto } from "../contract/mosquitto.ts";
import { messageSettings, pin } from "../contract/notify/message-settings.ts";
import { pushService } from "../contract/notify/push-service.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "../contract/notify/throw-away-authority.ts";
import { type PairSite, pairSite } from "../contract/standby/pair-site.ts";
import { eventually } from "../eventually.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { orderedSender } from "./ordered-sender.ts";
import { plantStream, type StreamMessage } from "./plant-stream.ts";
import { missingOf, samplesOf, site, siteSettings, type Tables, tablesOf } from "./store-check.ts";
import { type Found, putLimits, whatWasFound } from "./what-was-found.ts";

export interface StandbyResult {
  readonly takeovers: number;
  /** Messages to the collectors, all of which the broker acknowledged to their sender. */
  readonly sent: number;
  /** Of which every reading is in the store at the end. */
  readonly stored: number;
  readonly lost: number;
  /** Readings that are kept or counted more than once. */
  readonly doubled: number;
  /** Runs, and points and signals, that one collector which nobody disturbed has not or has otherwise. */
  readonly runsDiffer: number;
  readonly signalsDiffer: number;
  /** To the phone: one for each flag that was to be told. */
  readonly messages: number;
  /** Flags with more messages than one, and messages that the phone shows twice. */
  readonly messagesDoubled: number;
  /** Sent once more under the same topic, where the service keeps one, because the first answer was never heard. */
  readonly sentAgain: number;
  /** Longest from what was done to a collector until the other one had begun, by what was done. */
  readonly longestMs: number;
  readonly longest: Readonly<Record<InTurn, number>>;
}

const hourMs = 3_600_000;
const minuteMs = 60_000;
const forcedInTurn = ["kill", "pause", "stop"] as const;
type InTurn = (typeof forcedInTurn)[number];
/** Messages of the plant about each take-over. */
const perTakeover = 60;
const leastMs = 40 * minuteMs;
/** Of these gateways, which have the runs and signals to compare; a take-over costs the same whatever else comes in. */
const streamed = ["GW-PR", "GW-DR"];
const messagesAnHour = 5_000;
const backMs = 120_000;

/**
 * Two collectors over one folder under the plant's load and a cold pour at each turn; each turn the one that holds the
 * line is killed, stopped, or paused and woken when the other one has taken over, at a random moment about the pour.
 * What they made of it is held against one that nobody disturbed.
 */
export async function standbyMatrix(
  takeovers: number,
  seed: number,
  say: (line: string) => void,
): Promise<{ readonly result: StandbyResult; readonly complaints: readonly string[] }> {
  const lengthMs = Math.max(leastMs, Math.ceil(((takeovers * perTakeover) / messagesAnHour) * 60) * minuteMs);
  const fromMs = Math.floor((Date.now() - lengthMs) / hourMs) * hourMs - 2 * hourMs;
  // Pours come beside it, at today's times: what is found late sends no message.
  const stream = plantStream(7, fromMs, fromMs + lengthMs).filter(({ source }) => streamed.includes(source));
  const pours = Array.from({ length: takeovers }, (_, n) => coldPour(n, Date.now() - 10 * minuteMs));
  const forced = await oneWay(stream, pours, uniform(seed), say);
  const calm = await oneWay(stream, pours, null, say);
  return judged([...stream, ...pours.flat()], forced, calm);
}

interface Way {
  readonly folder: ReturnType<typeof temporaryFolder>;
  readonly tables: Tables;
  readonly found: Found;
  readonly missing: number;
  readonly tookMs: Record<InTurn, number[]>;
  /** By message: flag, and how often it was sent. */
  readonly told: readonly { readonly id: string; readonly flag: string | null; readonly times: number }[];
  readonly shown: number;
  readonly complaints: string[];
}

/** A pour too cold for any specification, and what shows a minute later that it is complete. */
function coldPour(n: number, sinceMs: number): readonly StreamMessage[] {
  const t = Math.round(sinceMs) + 2 * n * minuteMs;
  const values = Array.from({ length: 40 }, (_, i) => 700 - 0.04 * i + 0.3 * Math.sin(i + n));
  const event = (at: number, value: number): Record<string, unknown> => ({
    ...{ kind: "event", series: "PO-A/pour", t: at, value, attributes: { part: "OFW-2107" } },
  });
  const bodies: readonly Record<string, unknown>[] = [
    event(t, 1),
    { kind: "readings", readings: [{ series: "PO-A/stream", t, everyMs: 100, values, unit: "Cel" }] },
    event(t + 4_000, 0),
    event(t + minuteMs, 0),
  ];
  return bodies.map((body, place) => {
    const payload = JSON.stringify({ v: 1, source: "GW-PO", seq: 4 * n + place, ...body });
    const keys =
      body["kind"] === "event"
        ? [{ series: "PO-A/pour", tMs: Number(body["t"]), value: Number(body["value"]) }]
        : values.map((value, i) => ({ series: "PO-A/stream", tMs: t + 100 * i, value }));
    return { source: "GW-PO", topic: `ostrimvale/GW-PO/${String(body["kind"])}`, payload, keys };
  });
}

/** With chance the take-overs, without it one collector in peace. */
async function oneWay(
  stream: readonly StreamMessage[],
  pours: readonly (readonly StreamMessage[])[],
  chance: (() => number) | null,
  say: (line: string) => void,
): Promise<Way> {
  const folder = temporaryFolder();
  const data = join(folder.path, "data");
  const authority = throwAwayAuthority();
  const [broker, service] = await Promise.all([mosquitto(), pushService(authority)]);
  // An answer that takes its time: so that some take-overs fall between sending and hearing.
  service.delayMs = 60;
  const config = join(folder.path, "site.yaml");
  writeFileSync(config, await messageSettings(siteSettings, service));
  putLimits(data);
  const running = await pairSite(data, broker.url, environmentOf(config, authority));
  const plant = orderedSender(broker.url, stream);
  const pouring = orderedSender(broker.url, pours.flat());
  const complaints: string[] = [];
  const tookMs: Way["tookMs"] = { kill: [], pause: [], stop: [] };
  try {
    const { publicKey } = await running.ask<WireMessageSetUp>("/api/messages/set-up");
    const phone = service.subscribe(publicKey ?? "");
    const set = { by: "lead", pin, name: "Phone", subscription: phone.subscription };
    await running.ask<WireSubscribed>("/api/subscriptions", set);
    for (let n = 0; n < pours.length; n += 1) {
      if (chance !== null) {
        const other = running.active() === "a" ? "b" : "a";
        await running.standsBy(other);
      }
      plant.allow(Math.ceil(((n + 1) / pours.length) * stream.length), perTakeover);
      const pour = pause(chance === null ? 0 : 400 * chance()).then(() => pouring.allow(4 * (n + 1), 100));
      if (chance !== null) {
        const how = forcedInTurn[n % forcedInTurn.length]!;
        await pause(600 * chance());
        tookMs[how].push(await takenOver(running, how, chance, complaints));
        say(`take-over ${n + 1}: ${how}, ${Math.round(tookMs[how].at(-1)!)} ms, ${plant.acknowledged.size} messages`);
      }
      await pour;
      for (const flag of await flagsOf(running, n)) await doneWith(running, flag);
      await applied(data, n + 1);
    }
    plant.allow(stream.length, 100_000);
    const all = (): boolean => plant.acknowledged.size === stream.length;
    await eventually("the broker has all", all, backMs);
    const expected = samplesOf([...stream, ...pours.flat()]);
    const { stored } = await settled(running, expected);
    say(`${chance === null ? "in peace" : "with take-overs"}: ${stored} stored, ${expected} readings sent`);
    await allAccepted(running);
    const sent = service.requests.map((push) => phone.read(push).notification.data);
    const ids = [...new Set(sent.map(({ message }) => message))];
    const told = ids.map((id) => {
      const own = sent.filter(({ message }) => message === id);
      return { id, flag: own[0]!.flag, times: own.length };
    });
    await running.stop();
    return {
      ...{ folder, tookMs, told, complaints, shown: phone.stored().length },
      tables: tablesOf(data),
      missing: missingOf(data, [...stream, ...pours.flat()]).size,
      found: await whatWasFound(data, site),
    };
  } finally {
    plant.close();
    pouring.close();
    await running.stop();
    await Promise.all([broker.remove(), service.close()]);
    authority.remove();
    folder.remove();
  }
}

async function takenOver(running: PairSite, how: InTurn, chance: () => number, complaints: string[]): Promise<number> {
  const from = running.active();
  const one = running.running(from);
  const ms = await running.takeOver(how);
  if (how === "pause") {
    await pause(1_500 * chance());
    // Ended for good where it hung amid a write: nobody else could write then.
    const ended = running.running(running.active()).said().includes("the collector hung amid a write");
    one.signal("SIGCONT");
    const code = await one.exit(backMs);
    if (code !== (ended ? null : 3)) complaints.push(`woken, ${from} ended with ${code}: ${one.said().slice(-800)}`);
  } else {
    const code = await one.exit(backMs);
    if (how === "stop" && code !== 0) complaints.push(`stopped, ${from} ended with ${code}: ${one.said().slice(-800)}`);
  }
  // It begins while the other one has its pour.
  running.begin(from);
  return ms;
}

function environmentOf(config: string, authority: ThrowAwayAuthority): Readonly<Record<string, string>> {
  return { STEADYPOUR_CONFIG: config, NODE_EXTRA_CA_CERTS: authority.file };
}

/** Flags of the pour, once there are any and none more comes of it: its run and points are one commit. */
function flagsOf(running: PairSite, n: number): Promise<readonly WireFlag[]> {
  return eventually(
    `pour ${n + 1} is a flag`,
    async () => {
      const { items } = await running.ask<{ items: readonly WireFlag[] }>("/api/flags?state=open&limit=500");
      // What the clock finds of a gateway is no matter of this pour.
      const own = items.filter(({ id, station, label }) => {
        return station === "PO-A" && label !== "instrument-fault" && !id.includes("silence");
      });
      return own.length > 0 && own;
    },
    backMs,
    20,
  );
}

function doneWith(running: PairSite, { id }: WireFlag): Promise<unknown> {
  const body = { by: "lead", pin, cause: "ladle cold", note: "" };
  return running.ask(`/api/flags/${encodeURIComponent(id)}/done`, body);
}

/** What was decided took effect: so the next pour finds it at the same place whoever judges. */
async function applied(data: string, pours: number): Promise<void> {
  const journal = openJournal(data);
  try {
    await eventually(
      "what was decided took effect",
      () => {
        const done = journal.read({ kinds: ["done"] }).length;
        const taken = journal.read({ kinds: ["applied"] }).filter(({ station }) => station === "PO-A").length;
        return done >= pours && taken >= done;
      },
      backMs,
      20,
    );
  } finally {
    journal.close();
  }
}

/** All that was sent is in, or nothing has come for a while. */
function settled(running: PairSite, expected: number): Promise<{ readonly stored: number }> {
  let [before, since] = [-1, performance.now()];
  return eventually(
    "readings come in",
    async () => {
      const { stored } = await running.ask<{ stored: number }>("/api/counts");
      if (stored !== before) [before, since] = [stored, performance.now()];
      return (stored >= expected || performance.now() - since > 15_000) && { stored };
    },
    backMs,
  );
}

function allAccepted(running: PairSite): Promise<unknown> {
  return eventually(
    "all messages are accepted",
    async () => {
      const { items } = await running.ask<{ items: readonly WireMessage[] }>("/api/messages");
      return items.every(({ deliveries }) => deliveries.every(({ state }) => state === "accepted"));
    },
    backMs,
    200,
  );
}

function judged(sent: readonly StreamMessage[], forced: Way, calm: Way): Awaited<ReturnType<typeof standbyMatrix>> {
  const complaints = [...forced.complaints];
  const expected = samplesOf(sent);
  const rows = forced.tables.rows - expected;
  const counted = forced.tables.stored - calm.tables.stored;
  if (rows !== 0) complaints.push(`${forced.tables.rows} readings in the store, ${expected} expected`);
  if (counted !== 0) complaints.push(`${forced.tables.stored} counted as stored, ${calm.tables.stored} in peace`);
  if (forced.missing > 0) complaints.push(`${forced.missing} messages are not in the store`);
  if (calm.missing > 0) complaints.push(`in peace: ${calm.missing} messages are not in the store`);
  const differing = (part: keyof Found): number => {
    const own = differences(forced.found[part], calm.found[part]);
    complaints.push(...own.slice(0, 5).map((line) => `${part}: ${line}`));
    return own.length;
  };
  const [runsDiffer, signalsDiffer] = [differing("runs"), differing("points") + differing("signals")];
  const byFlag = new Map<string | null, number>();
  for (const { flag } of forced.told) byFlag.set(flag, (byFlag.get(flag) ?? 0) + 1);
  const doubledFlags = [...byFlag.values()].filter((count) => count > 1).length;
  const shownTwice = Math.max(0, forced.shown - forced.told.length);
  const calmFlags = new Set(calm.told.map(({ flag }) => flag));
  for (const flag of calmFlags) if (!byFlag.has(flag)) complaints.push(`nobody was told of ${flag}`);
  if (byFlag.size < takeoversOf(forced))
    complaints.push(`${byFlag.size} flags told of ${takeoversOf(forced)} cold pours`);
  if (doubledFlags + shownTwice > 0) complaints.push(`${doubledFlags} flags told twice, ${shownTwice} shown twice`);
  // The comparison would hold nothing if nothing had been found.
  if (calm.found.runs.length < 20 || calm.found.signals.length < 5) complaints.push("too little was found to compare");
  const longest = (how: InTurn): number => Math.round(Math.max(0, ...forced.tookMs[how]));
  const most = { kill: longest("kill"), pause: longest("pause"), stop: longest("stop") };
  const result: StandbyResult = {
    takeovers: takeoversOf(forced),
    sent: sent.length,
    stored: sent.length - forced.missing,
    lost: forced.missing,
    doubled: Math.max(rows, counted, 0),
    ...{ runsDiffer, signalsDiffer },
    messages: forced.told.length,
    messagesDoubled: doubledFlags + shownTwice,
    sentAgain: forced.told.reduce((sum, { times }) => sum + times - 1, 0),
    longestMs: Math.max(...Object.values(most)),
    longest: most,
  };
  return { result, complaints };
}

function takeoversOf({ tookMs }: Way): number {
  return Object.values(tookMs).flat().length;
}

/** Of two lists in the order of their subjects, what one has and the other has not, or has otherwise. */
function differences(forced: readonly unknown[], calm: readonly unknown[]): readonly string[] {
  const byId = (list: readonly unknown[]): ReadonlyMap<string, unknown> =>
    new Map(list.map((one) => [(one as { readonly id: string }).id, one]));
  const [own, other] = [byId(forced), byId(calm)];
  return [...new Set([...own.keys(), ...other.keys()])]
    .filter((id) => !isDeepStrictEqual(own.get(id), other.get(id)))
    .map((id) => `with take-overs ${JSON.stringify(own.get(id))}, in peace ${JSON.stringify(other.get(id))}`);
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
