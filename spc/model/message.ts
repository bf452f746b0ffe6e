import type { FlagLabel, SignalOn } from "./signal.ts";

/** What somebody was told of a flag: a further message must have more to say than this. */
export interface Told {
  readonly label: FlagLabel;
  readonly value: number | null;
  readonly line: number | null;
  readonly on: SignalOn | null;
  readonly z: number | null;
}

/** `again`: nobody has taken it since. `over`: somebody has it now, and nobody need come. `trial`: a person tries a phone. */
export type MessageReason = "opened" | "raised" | "further" | "again" | "over" | "trial";

/** What a phone needs to show a flag without asking the plant. Words and numbers as they were when it was written. */
export interface MessageCard {
  /** The flag's number; null of a trial. */
  readonly number: number | null;
  readonly station: string;
  readonly characteristic: string | null;
  readonly says: string;
  /** With its unit: `1421 C`. */
  readonly value: string | null;
  /** `low limit 1430`. */
  readonly against: string | null;
  /** `Pour OFW-2107`; null for an instrument. */
  readonly run: string | null;
  readonly runId: string | null;
  readonly atMs: number;
  /** Sensor time on the site's clock: `02:14`. */
  readonly time: string;
  readonly doFirst: string | null;
  readonly signals: number;
}

/** A message to one person, written once: what is sent, tried again and shown is this and nothing else. */
export interface Message {
  /** Follows from flag, person and how many times that person was told. */
  readonly id: string;
  readonly person: string;
  /** Null of a trial. */
  readonly flag: string | null;
  /** The one device that a trial goes to; all of the person's otherwise. */
  readonly device: string | null;
  readonly why: MessageReason;
  readonly label: FlagLabel;
  readonly title: string;
  readonly body: string;
  readonly card: MessageCard;
  readonly told: Told;
  readonly queuedMs: number;
  /** Later than this it is worth nothing, and is not sent. */
  readonly expiresMs: number;
}
