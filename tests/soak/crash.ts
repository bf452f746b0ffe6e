import { isDeepStrictEqual } from "node:util";
import { uniform } from "../bench/plant-series.ts";
import { type Beside, type CrashWay, crashWay } from "./crash-way.ts";
import type { Way } from "./own-acks.ts";
import { plantStream, type StreamMessage } from "./plant-stream.ts";
import { samplesOf } from "./store-check.ts";
import type { Found } from "./what-was-found.ts";

/** Messages but where it says otherwise; over both ways of getting them. */
export interface CrashResult {
  readonly kills: number;
  readonly sent: number;
  /** Whose PUBACK our product sent. */
  readonly acknowledged: number;
  /** Of which every reading is in the store at the end. */
  readonly stored: number;
  /** Acknowledged by our product and not in the store, at some kill or at the end. */
  readonly lost: number;
  /** Acknowledged by Mosquitto to the sender, and gone with it before they reached us. */
  readonly lostByBroker: number;
  /** Those of them that no sequence gap of their source shows. */
  readonly unnoticed: number;
  /** Readings that are kept or counted more than once. */
  readonly doubled: number;
  /** Runs, points and signals that a run nobody killed, over the same messages, has not or has otherwise. */
  readonly signalsDiffer: number;
  /** Series and days of which InfluxDB has another number of readings than the store; 0 without one. */
  readonly otherwiseThere: number;
}

const hourMs = 3_600_000;
/** Messages between two kills, about a second of them; and never less than what has signals. */
const betweenKills = 400;
const leastMs = 40 * 60_000;
/** The whole plant sends so many messages an hour. */
const messagesAnHour = 9_000;

/**
 * Kills the product, and Mosquitto, at random moments under load, half of the times with our own broker and half with
 * Mosquitto before us. Gives the figures and what did not hold, and says meanwhile what it does.
 */
export async function crashMatrix(
  kills: number,
  seed: number,
  say: (line: string) => void,
  beside: Beside = {},
): Promise<{ readonly result: CrashResult; readonly complaints: readonly string[] }> {
  const embedded = await crashPart("embedded", Math.ceil(kills / 2), seed, say, beside);
  const outside = await crashPart("mosquitto", Math.floor(kills / 2), seed + 1, say, beside);
  const sum = (figure: keyof CrashResult): number => embedded.result[figure] + outside.result[figure];
  const result = {
    ...{ kills: sum("kills"), sent: sum("sent"), acknowledged: sum("acknowledged"), stored: sum("stored") },
    ...{ lost: sum("lost"), lostByBroker: sum("lostByBroker"), unnoticed: sum("unnoticed") },
    ...{ doubled: sum("doubled"), signalsDiffer: sum("signalsDiffer"), otherwiseThere: sum("otherwiseThere") },
  };
  return { result, complaints: [...embedded.complaints, ...outside.complaints] };
}

async function crashPart(
  way: Way,
  kills: number,
  seed: number,
  say: (line: string) => void,
  beside: Beside,
): ReturnType<typeof crashMatrix> {
  const lengthMs = Math.max(leastMs, Math.ceil(((kills * betweenKills) / messagesAnHour) * 60) * 60_000);
  const fromMs = Math.floor((Date.now() - lengthMs) / hourMs) * hourMs - 2 * hourMs;
  const stream = plantStream(7, fromMs, fromMs + lengthMs);
  const killed = await crashWay(way, stream, kills, uniform(seed * 7_919), say, beside);
  const kept = stream.filter((_, place) => !killed.missing.has(place));
  const calm = await crashWay("embedded", kept, 0, uniform(seed), say);
  const { runs, points, signals } = calm.found;
  say(`${way}: ${runs.length} runs, ${points.length} points, ${signals.length} signals to compare with`);
  const done = judged(kills, { stream, kept, killed, calm });
  say(`${way}: ${JSON.stringify(done.result)}`);
  return done;
}

function judged(
  kills: number,
  ran: {
    readonly stream: readonly StreamMessage[];
    readonly kept: readonly StreamMessage[];
    readonly killed: CrashWay;
    readonly calm: CrashWay;
  },
): Awaited<ReturnType<typeof crashMatrix>> {
  const { stream, kept, killed, calm } = ran;
  const complaints: string[] = [...killed.lost.values()].slice(0, 5);
  const goneWithBroker = [...killed.missing].filter(
    (place) => killed.toSender.has(place) && !killed.acknowledged.has(place),
  );
  const noticed = noticedOf(stream, goneWithBroker, killed.tables.gaps);
  if (noticed.tooMany > 0) complaints.push(`${noticed.tooMany} numbers are called missing that are not`);
  if (noticed.unnoticed > 0) complaints.push(`${noticed.unnoticed} lost with the broker and not noticed`);
  const expected = samplesOf(kept);
  const rows = killed.tables.rows - expected;
  const counted = killed.tables.stored - calm.tables.stored;
  if (rows !== 0) complaints.push(`${killed.tables.rows} readings in the store, ${expected} expected`);
  if (counted !== 0) complaints.push(`${killed.tables.stored} counted as stored, ${calm.tables.stored} without kills`);
  if (calm.tables.rows !== expected) complaints.push(`not killed: ${calm.tables.rows} readings, ${expected} expected`);
  const parts = ["runs", "points", "signals"] as const;
  const differences = parts.flatMap((part) => differencesOf(part, killed.found, calm.found));
  complaints.push(...differences.slice(0, 5), ...killed.there.slice(0, 5));
  // The comparison would hold nothing if nothing had been found.
  const { runs, points, signals } = calm.found;
  if (runs.length < 20 || points.length < 20 || signals.length < 5) complaints.push("too little was found to compare");
  const result = {
    kills,
    sent: stream.length,
    acknowledged: killed.acknowledged.size,
    stored: kept.length,
    lost: killed.lost.size,
    lostByBroker: goneWithBroker.length,
    unnoticed: noticed.unnoticed,
    doubled: Math.max(rows, counted, 0),
    signalsDiffer: differences.length,
    otherwiseThere: killed.there.length,
  };
  return { result, complaints };
}

/** A gap tells of its source how many are missing: fewer than were lost is unnoticed, more is a false word. */
function noticedOf(
  stream: readonly StreamMessage[],
  lost: readonly number[],
  gaps: ReadonlyMap<string, number>,
): { readonly unnoticed: number; readonly tooMany: number } {
  let [unnoticed, tooMany] = [0, 0];
  for (const source of new Set(stream.map((message) => message.source))) {
    const own = lost.filter((place) => stream[place]!.source === source).length;
    const shown = gaps.get(source) ?? 0;
    unnoticed += Math.max(0, own - shown);
    tooMany += Math.max(0, shown - own);
  }
  return { unnoticed, tooMany };
}

type Entry = { readonly id: string; readonly subject: string };

/** Entries of one that the other has not, or has otherwise, or in another order within their subject. */
function differencesOf(part: keyof Found, killed: Found, calm: Found): readonly string[] {
  const bySubject = (found: Found): ReadonlyMap<string, Entry[]> => {
    const subjects = new Map<string, Entry[]>();
    for (const entry of found[part] as readonly Entry[]) {
      subjects.set(entry.subject, [...(subjects.get(entry.subject) ?? []), entry]);
    }
    return subjects;
  };
  const [ours, theirs] = [bySubject(killed), bySubject(calm)];
  return [...new Set([...ours.keys(), ...theirs.keys()])].flatMap((subject) => {
    const [own, other] = [ours.get(subject) ?? [], theirs.get(subject) ?? []];
    const places = Array.from({ length: Math.max(own.length, other.length) }, (_, i) => i);
    return places
      .filter((i) => !isDeepStrictEqual(own[i], other[i]))
      .map((i) => `${part}: killed ${JSON.stringify(own[i])}, not killed ${JSON.stringify(other[i])}`);
  });
}
