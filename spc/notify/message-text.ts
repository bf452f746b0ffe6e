import type { FlagLabel } from "../model/signal.ts";
import { FLOOD_MESSAGES } from "./flood.ts";

/** What a phone shows of a flag: its parts in the order in which a lock screen may cut them off. */
export interface MessageParts {
  readonly label: FlagLabel;
  readonly station: string;
  /** What is wrong, in words. */
  readonly says: string;
  /** Value against its limit, with the unit: `1368 C, low limit 1385`. */
  readonly value: string | null;
  /** Run and piece: `Run 0417 flask 12`; null for an instrument. */
  readonly run: string | null;
  /** Local time of the sensor, 24 hours: `02:14`. */
  readonly time: string;
  readonly doFirst: string | null;
  /** For how many minutes nobody has taken it, and how many other flags wait as well, where that is the news. */
  readonly untaken: { readonly minutes: number; readonly others: number } | null;
  readonly signals: number;
  /** The last one for now: what follows is only on the Floor. */
  readonly flood: boolean;
  readonly reference: string;
  readonly trial: boolean;
}

export interface MessageText {
  readonly title: string;
  readonly body: string;
}

export const MOST_TITLE = 45;

const words: Readonly<Record<FlagLabel, string>> = {
  "act-now": "ACT NOW",
  look: "LOOK",
  "instrument-fault": "INSTRUMENT",
  "for-review": "REVIEW",
};

/** Text of a message. A title that is too long loses the end of what is wrong, never the station. */
export function messageText(parts: MessageParts): MessageText {
  const { label, station, says, value, run, time, doFirst, untaken, signals, flood, reference, trial } = parts;
  const title = cut(`${trial ? "TEST " : ""}${messageTitle(label, station, says)}`);
  const lines = [
    ...(value === null ? [] : [value]),
    run === null ? time : `${run}, ${time}`,
    ...(doFirst === null ? [] : [doFirst]),
    ...(untaken === null ? [] : [untakenWords(untaken)]),
    ...(signals > 1 ? [`${signals} signals`] : []),
    ...(flood ? [`${FLOOD_MESSAGES} messages in 10 min: see the Floor for more`] : []),
    `Ref ${reference}`,
  ];
  return { title, body: lines.join("\n") };
}

function untakenWords({ minutes, others }: NonNullable<MessageParts["untaken"]>): string {
  const more = others === 0 ? "" : `, ${others} more ${others === 1 ? "waits" : "wait"}`;
  return `Not taken for ${minutes} min${more}`;
}

/** Text of a message that nobody need come. It names nobody: a lock screen is read by others. */
export function overText(parts: {
  readonly station: string;
  readonly says: string;
  readonly closed: boolean;
  readonly time: string;
  readonly reference: string;
}): MessageText {
  const { station, says, closed, time, reference } = parts;
  const title = cut(`${closed ? "CLOSED" : "TAKEN"} ${station}: ${says}`);
  return { title, body: `Somebody ${closed ? "closed it at" : "has it since"} ${time}\nRef ${reference}` };
}

/** The title whole, before it is cut: the settings are asked for words that need no cutting. */
export function messageTitle(label: FlagLabel, station: string, says: string): string {
  return `${words[label]} ${station}: ${says}`;
}

function cut(text: string): string {
  return text.length <= MOST_TITLE ? text : `${text.slice(0, MOST_TITLE - 3).trimEnd()}...`;
}

/** Characters of the 7-bit default alphabet (3GPP TS 23.038, table 6.2.1) that count once; every phone and gateway has them. */
const everyPhone = /^[\n\r @£$¥èéùìòÇØøÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ!"#¤%&'()*+,./0-9:;<=>?¡A-ZÄÖÑÜ§¿a-zäöñüà-]*$/;

/** The characters of a text that some phone or gateway would not show, each once. */
export function strangeCharacters(text: string): readonly string[] {
  return [...new Set(text)].filter((character) => !everyPhone.test(character));
}

/** What stands where a text has such characters all the same, such as in the name of a part. */
export function plainText(text: string): string {
  return [...text].map((character) => (everyPhone.test(character) ? character : "?")).join("");
}

const units: Readonly<Record<string, string>> = { Cel: "C", "[g]": "g", "m/s2": "m/s2", "1": "", "{ratio}": "" };

/** A UCUM unit as a message writes it, without characters that phones lack. */
export function messageUnit(unit: string): string {
  return units[unit] ?? unit.replaceAll(/[[\]{}]/g, "");
}
