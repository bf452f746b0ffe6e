import type { FlagLabel, Side, SignalOn } from "../model/signal.ts";

/**
 * What people handle until a person closes it: the signals of one characteristic, an instrument's silence or fault, or
 * what several stations' flags have in common.
 */
export interface FlagState {
  readonly id: string;
  /** Small number for people, in order of opening. */
  readonly number: number;
  readonly station: string;
  /** Null for an instrument fault. */
  readonly characteristic: string | null;
  /** Series that fell silent; none for a process flag. */
  readonly series: readonly string[];
  readonly label: FlagLabel;
  readonly doFirst: string | null;
  /** What is wrong, in words. */
  readonly says: string;
  readonly state: "waiting" | "taken" | "done";
  /** The first run; null for an instrument fault. */
  readonly run: string | null;
  /** All runs that gave it a signal, oldest first, at most the newest 200. */
  readonly runs: readonly string[];
  /** Count of signals that joined. */
  readonly signals: number;
  readonly rules: readonly string[];
  readonly first: FlagMoment;
  readonly last: FlagMoment;
  readonly worst: FlagMoment;
  /** While every signal so far was found more than 15 minutes after its sensor time. */
  readonly late: boolean;
  /** Wall time at which the first signal was found: waiting is counted from here. */
  readonly foundMs: number;
  /** The flag on the same characteristic that was done at most 20 runs before this one opened. */
  readonly cameBack: CameBack | null;
  /** The shift in which it opened ended before anybody took it. */
  readonly unseen: { readonly shift: string; readonly atMs: number } | null;
  readonly taken: { readonly by: string; readonly atMs: number } | null;
  readonly done: {
    readonly by: string;
    readonly atMs: number;
    readonly cause: string;
    readonly note: string;
  } | null;
  /** The evidence in one sentence; of instruments and common causes. */
  readonly evidence?: string;
  /** Of an instrument: checks that find it at fault now, and since when none does. */
  readonly faultsOn?: readonly string[];
  readonly faultOverMs?: number | null;
  /** Of a common cause: what it is and the flags under it, first up first. */
  readonly common?: CommonOf;
  /** The flag of a common cause that this one stands under. */
  readonly parent?: string;
}

export interface CommonOf {
  readonly feeder: string;
  readonly name: string;
  readonly feeds: number;
  /** What the stations are called together: `presses`. */
  readonly of: string;
  readonly children: readonly CommonChild[];
}

export interface CommonChild {
  readonly flag: string;
  readonly station: string;
  readonly atMs: number;
  /** Its station measures the supply itself, and is none of those that it feeds. */
  readonly own?: true;
}

export interface CameBack {
  readonly flag: string;
  readonly number: number;
  /** How often in a row it has come back by now. */
  readonly times: number;
}

/** One signal of a flag, as a card shows it. A silence has a time and nothing else. */
export interface FlagMoment {
  readonly atMs: number;
  readonly run: string | null;
  readonly value: number | null;
  readonly line: number | null;
  readonly side: Side | null;
  readonly on: SignalOn | null;
  readonly z: number | null;
}

/** Every flag there ever was, by id, in order of opening. */
export type FlagTable = ReadonlyMap<string, FlagState>;

export const noFlags: FlagTable = new Map();
