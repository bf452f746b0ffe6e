import type { Week } from "./calendar.ts";
import { faultList, readFault } from "./fault-words.ts";
import type { Fault } from "./faults.ts";
import type { PlantKey } from "./plant-layout.ts";
import { launchDayMs, thirtyDayFaults } from "./script-30-day.ts";
import { instantMs, lengthMs } from "./time-words.ts";

/** Times the clock, `max` (as fast as it is acknowledged), or `live` (the past like `max`, then with the clock). */
export type Speed = number | "max" | "live";

/** What `npm run simulate` was told. */
export interface Options {
  readonly url: string;
  readonly key: PlantKey;
  readonly speed: Speed;
  readonly fromMs: number;
  /** Infinity: until it is stopped. */
  readonly toMs: number;
  readonly faults: readonly Fault[];
  readonly occasional: boolean;
  /** Gateways and networks lose, delay, repeat and disorder messages, and their clocks are off. */
  readonly disturb: boolean;
  /** Leaves out what people weigh, dip or count, so that it can come by a form or the API. */
  readonly withoutHand: boolean;
  /** File that remembers how far each gateway's messages were acknowledged. */
  readonly progress: string | null;
  /** File that gets the messages, as lines of JSON, instead of a broker. */
  readonly toFile: string | null;
  /** File that gets what truly was. */
  readonly truth: string | null;
  /** Where the product's form is, with the files of the accounts and PINs that open it. */
  readonly form: { readonly url: string; readonly accounts: string; readonly pins: string } | null;
}

export type ReadArguments =
  | { readonly kind: "run"; readonly options: Options }
  | { readonly kind: "help" }
  | { readonly kind: "wrong"; readonly mistakes: readonly string[] };

export const help: string = `The simulated plant: sends what the sensors of Ostrimvale Foamcast Works would send, by MQTT and nothing else.

npm run simulate -- [--url URL] [--seed N] [--speed X|max|live] [--from TIME] [--hours H] [--fault FAULT]...

  --url URL       broker, by default mqtt://127.0.0.1:1883
  --seed N        whole number, by default 1: the same seed, first instant and faults give the same readings
  --speed X       X times the clock, by default 1; max: as fast as it is acknowledged;
                  live: the past as fast as it is acknowledged, then with the clock
  --from TIME     simulated start, ISO 8601 with an offset; by default now at speed 1 or less, else H hours ago
  --hours H       simulated hours to send; by default no end (max: 24)
  --first TIME    first instant of the plant's life, from which faults count; by default the simulated start
  --fault FAULT   NAME@PLACE[@START[+DURATION][*SIZE]], START counted from the first instant:
                  cold-metal@PO-A@20min+25min, slow-valve@PR-03@2h*0.5, stuck@AO-1/t2@6h
  --week 5|7      days a week on which the plant works, by default 7; with 5 nothing is begun from Saturday to Monday at six on
                  the plant's clocks: boiler, oven and iron furnaces go out, the instruments stay on, bead and patterns age
  --launch START  OFW-3319 is a new part: three short runs, a ladle each, from START after the first instant on, on ladles with a
                  new lining; without it the part is made all the time
  --script 30-day the thirty days of the plant's story: eighteen faults and confounders and the launch,
                  counted from the first instant
  --occasional-faults
                  from a day after the first instant also a fault every few hours, the same ones for the same seed
  --disturb       gateways' clocks are off; messages are lost, late, repeated and out of order; outages come in by half
  --form URL      write some of what people measure down by the product's form, at URL, beside what the gateways send, as it
                  is taken; in the names of the shift leads with the PINs of --pins FILE (ACCOUNT PIN a line), at a shared
                  terminal that the first of them in --accounts FILE (ACCOUNT PASSWORD a line) signs in
  --without-hand  leave out what people weigh, dip or count
  --to-file FILE  write the messages as lines of JSON, { topic, payload }, and connect to no broker
  --truth FILE    write what truly was: faults with what they should move, runs with true values and origins, castings;
                  keep it where no product looks
  --progress FILE remember there how far each gateway was acknowledged, and go on from there (24 h back at most)

Faults:
${faultList()}
`;

const hourMs = 3_600_000;
const valued = [
  "url",
  "seed",
  "speed",
  "from",
  "hours",
  "first",
  "week",
  "launch",
  "form",
  "accounts",
  "pins",
  "fault",
  "script",
  "progress",
  "to-file",
  "truth",
];
const plain = ["occasional-faults", "disturb", "without-hand"];

/** Reads the command line; every mistake is told, not only the first. */
export function readArguments(words: readonly string[], nowMs: number): ReadArguments {
  if (words.includes("--help") || words.includes("-h")) return { kind: "help" };
  const mistakes: string[] = [];
  const { given, set } = sort(words, mistakes);
  const one = <T>(name: string, otherwise: T, read: (text: string) => T | undefined, expected: string): T => {
    const texts = given.get(name) ?? [];
    if (texts.length > 1) mistakes.push(`--${name}: found it ${texts.length} times, expected it once`);
    const text = texts[0];
    if (text === undefined) return otherwise;
    const value = read(text);
    if (value !== undefined) return value;
    mistakes.push(`--${name}: found ${text}, expected ${expected}`);
    return otherwise;
  };
  const url = one("url", "mqtt://127.0.0.1:1883", brokerUrl, "a URL such as mqtt://127.0.0.1:1883");
  const seed = one("seed", 1, wholeNumber, "a whole number from 0 to 4294967295");
  const speed = one<Speed>("speed", 1, readSpeed, "a number above 0, max or live");
  const noEnd = speed === "max" ? 24 : Number.POSITIVE_INFINITY;
  const hours = one("hours", noEnd, positive, "a number of hours above 0");
  const backHours = Number.isFinite(hours) ? hours : 24;
  const startsNow = typeof speed === "number" && speed <= 1;
  const lastSecond = Math.floor(nowMs / 1000) * 1000;
  const time = "an ISO 8601 time with an offset, such as 2026-11-25T06:00:00Z";
  const fromMs = one("from", startsNow ? lastSecond : lastSecond - Math.round(backHours * hourMs), instantMs, time);
  const firstMs = one("first", fromMs, instantMs, time);
  if (firstMs > fromMs) mistakes.push("--first: found a time after the simulated start, expected one at or before it");
  const file = (name: string): string | null =>
    one<string | null>(name, null, (text) => text || undefined, "the name of a file");
  const form = formOf(
    one<string | null>("form", null, httpUrl, "an address such as http://127.0.0.1:8080"),
    file,
    mistakes,
  );
  const files = { progress: file("progress"), toFile: file("to-file"), truth: file("truth") };
  const script = one("script", false, (text) => (text === "30-day" ? true : undefined), "30-day");
  const week = one<Week>("week", 7, (text) => (text === "5" ? 5 : text === "7" ? 7 : undefined), "5 or 7");
  const launch = one<number | null>(
    "launch",
    script ? launchDayMs : null,
    lengthMs,
    "a length of time such as 21d or 36h",
  );
  const key: PlantKey = {
    ...{ seed, firstMs },
    ...(week === 7 ? {} : { week }),
    ...(launch === null ? {} : { launchMs: firstMs + launch }),
  };
  const faults: Fault[] = script ? thirtyDayFaults(key) : [];
  for (const text of given.get("fault") ?? []) {
    const read = readFault(text, firstMs);
    if (read.ok) faults.push(read.fault);
    else mistakes.push(read.mistake);
  }
  if (mistakes.length > 0) return { kind: "wrong", mistakes };
  const toMs = fromMs + Math.round(hours * hourMs);
  const flags = {
    occasional: set.has("occasional-faults"),
    disturb: set.has("disturb"),
    withoutHand: set.has("without-hand"),
  };
  return { kind: "run", options: { url, key, speed, fromMs, toMs, faults, ...flags, ...files, form } };
}

function formOf(url: string | null, file: (name: string) => string | null, mistakes: string[]): Options["form"] {
  const [accounts, pins] = [file("accounts"), file("pins")];
  if (url === null && accounts === null && pins === null) return null;
  if (url !== null && accounts !== null && pins !== null) return { url, accounts, pins };
  mistakes.push("--form, --accounts, --pins: found some of them, expected all three or none");
  return null;
}

function httpUrl(text: string): string | undefined {
  return URL.canParse(text) && /^https?:$/.test(new URL(text).protocol) ? text : undefined;
}

/** Names with their values; `--name value` and `--name=value` alike. */
function sort(words: readonly string[], mistakes: string[]): { given: Map<string, string[]>; set: Set<string> } {
  const given = new Map<string, string[]>();
  const set = new Set<string>();
  for (let i = 0; i < words.length; i += 1) {
    const word = words[i] as string;
    const [, name = "", inline] = /^--([a-z-]+)(?:=(.*))?$/s.exec(word) ?? [];
    if (plain.includes(name) && inline === undefined) set.add(name);
    else if (!valued.includes(name)) mistakes.push(`${word}: no such option, --help lists them`);
    else {
      const next = words[i + 1];
      const value = inline ?? (next === undefined || next.startsWith("--") ? undefined : next);
      if (inline === undefined && value !== undefined) i += 1;
      if (value === undefined) mistakes.push(`--${name}: found nothing after it, expected a value`);
      else given.set(name, [...(given.get(name) ?? []), value]);
    }
  }
  return { given, set };
}

function brokerUrl(text: string): string | undefined {
  return URL.canParse(text) && /^(mqtts?|wss?):$/.test(new URL(text).protocol) ? text : undefined;
}

function wholeNumber(text: string): number | undefined {
  return /^\d{1,10}$/.test(text) && Number(text) < 2 ** 32 ? Number(text) : undefined;
}

function positive(text: string): number | undefined {
  const number = text.trim() === "" ? Number.NaN : Number(text);
  return number > 0 && Number.isFinite(number) ? number : undefined;
}

function readSpeed(text: string): Speed | undefined {
  return text === "max" || text === "live" ? text : positive(text);
}
