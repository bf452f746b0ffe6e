import type { FlagState } from "../flags/flag.ts";
import type { MessageReason, Told } from "../model/message.ts";
import { type FlagLabel, labelOrder } from "../model/signal.ts";
import { withinHours } from "./hours.ts";

/** Somebody who may be sent messages. */
export interface Reachable {
  readonly id: string;
  readonly labels: readonly FlagLabel[];
  /** `always`, or a span such as `22:00-06:00`. */
  readonly hours: string;
  /** Told only once nobody has taken the flag for so long; 0 for at once. */
  readonly afterMs: number;
}

/** A flag just after further signals joined it, and what is known beside it. */
export interface FlagNews {
  readonly flag: FlagState;
  /** Its label before these signals; null when they opened it. */
  readonly labelBefore: FlagLabel | null;
  /** What each person was told of it last, by person. */
  readonly told: ReadonlyMap<string, Told>;
  /** Sigma of single values under the limits in force, or null: a value against its specification has no other. */
  readonly sigma: number | null;
  /** On the site's clock. */
  readonly minuteOfDay: number;
}

export interface Due {
  readonly person: string;
  readonly why: Exclude<MessageReason, "trial">;
}

/** The worst point must have moved out by this much, in sigma, before anybody is told again. */
const FURTHER_SIGMA = 1;

/**
 * Who is told of a flag now. Each person whose labels and hours fit hears of it once, and once more only when its label
 * rises or its worst point moves out by a sigma or more. Whoever has not heard of it yet is spared what somebody has
 * taken, unless its label has risen since. Those who come later hear by `whoIsToldAgain`.
 */
export function whoIsTold(persons: readonly Reachable[], news: FlagNews): readonly Due[] {
  const { flag, minuteOfDay } = news;
  if (flag.state === "done") return [];
  return persons
    .filter(({ labels, hours }) => labels.includes(flag.label) && withinHours(hours, minuteOfDay))
    .flatMap(({ id, afterMs }): Due[] => {
      const told = news.told.get(id);
      const why = told === undefined && afterMs > 0 ? null : reason(news, told);
      return why === null ? [] : [{ person: id, why }];
    });
}

function reason({ flag, labelBefore, sigma }: FlagNews, told: Told | undefined): Due["why"] | null {
  if (told === undefined) {
    const risen = labelBefore !== null && isHigher(flag.label, labelBefore);
    return flag.state === "taken" && !risen ? null : "opened";
  }
  if (isHigher(flag.label, told.label)) return "raised";
  return movedOut(flag.worst, told, sigma) >= FURTHER_SIGMA ? "further" : null;
}

function isHigher(label: FlagLabel, than: FlagLabel): boolean {
  return labelOrder.indexOf(label) < labelOrder.indexOf(than);
}

/**
 * How far the worst point has moved out since, in sigma; 0 where the two cannot be compared. Against a specification
 * the sigma of single values is the measure: a location plotted as an average has a narrower one of its own.
 */
function movedOut(worst: FlagState["worst"], told: Told, sigma: number | null): number {
  if (worst.on === told.on && worst.z !== null && told.z !== null) return Math.abs(worst.z) - Math.abs(told.z);
  if (sigma === null || !(sigma > 0) || worst.on === "spread" || told.on === "spread") return 0;
  const beyond = beyondLine(worst);
  const before = beyondLine({ ...told, line: worst.line });
  return beyond === null || before === null ? 0 : (beyond - before) / sigma;
}

/** Distance from its line, whichever side. */
function beyondLine({ value, line }: Pick<Told, "value" | "line">): number | null {
  return value === null || line === null ? null : Math.abs(value - line);
}
