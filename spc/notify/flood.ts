import { type FlagLabel, labelOrder } from "../model/signal.ts";

const FLOOD_MS = 600_000;
/** Common practice, no source: ten in ten minutes are more than anybody can take in. */
export const FLOOD_MESSAGES = 10;

/** What a person was sent lately. */
export interface SentLately {
  readonly label: FlagLabel;
  readonly queuedMs: number;
}

/**
 * How many more messages under a label a person may get now; 0 in a flood. What is less urgent takes no room from what is
 * more so.
 *
 * @unit    messages
 * @source  common practice, no source
 * @checked tests/unit/notify/flood.test.ts
 */
export function roomLeft(lately: readonly SentLately[], label: FlagLabel, nowMs: number): number {
  const rank = labelOrder.indexOf(label);
  const sent = lately.filter((one) => nowMs - one.queuedMs < FLOOD_MS && labelOrder.indexOf(one.label) <= rank);
  return Math.max(0, FLOOD_MESSAGES - sent.length);
}
