import type { FlagLabel } from "../../spc/model/signal.ts";

/** What a phone shows of a flag: its parts in the order in which a lock screen may cut them off. */
export interface MessageParts {
  readonly label: FlagLabel;
  readonly station: string;
  /** What is wrong, in words. */
  readonly says: string;
  /** Value against its limit, with the unit: `1368 Cel, low limit 1385`. */
  readonly value: string | null;
  /** Run and piece: `Run 0417 flask 12`. */
  readonly run: string;
  /** Local time of the sensor, 24 hours: `02:14`. */
  readonly time: string;
  readonly doFirst: string | null;
  readonly signals: number;
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
  "for-review": "FOR REVIEW",
};

/** Text of a message. A title that is too long loses the end of what is wrong, never the station. */
export function messageText(parts: MessageParts): MessageText {
  const { label, station, says, value, run, time, doFirst, signals, reference, trial } = parts;
  const title = cut(`${trial ? "TEST " : ""}${words[label]} ${station}: ${says}`);
  const lines = [
    ...(value === null ? [] : [value]),
    `${run}, ${time}`,
    ...(doFirst === null ? [] : [doFirst]),
    ...(signals > 1 ? [`${signals} signals`] : []),
    `Ref ${reference}`,
  ];
  return { title, body: lines.join("\n") };
}

function cut(text: string): string {
  return text.length <= MOST_TITLE ? text : `${text.slice(0, MOST_TITLE - 1).trimEnd()}…`;
}
