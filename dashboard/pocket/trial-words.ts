import type { WireDelivery } from "../../api/contract/message-wire.ts";
import { answerWords, failWords } from "../model/message-words.ts";

/** A phone that has not shown a message after this long is told so. */
export const TRIAL_PATIENCE_MS = 10_000;

export interface TrialStep {
  readonly state: "queued" | "accepted" | "shown" | "opened" | "failed";
  readonly words: string;
  readonly at: string | null;
}

/** The states of a message on one device, each with its own time; none stands for another. */
export function trialSteps(delivery: WireDelivery | null): readonly TrialStep[] {
  const steps: TrialStep[] = [
    { state: "queued", words: "Queued on this server", at: delivery?.queuedAt ?? null },
    { state: "accepted", words: "Accepted by the push service", at: delivery?.acceptedAt ?? null },
    { state: "shown", words: "Shown: the phone itself said so", at: delivery?.shownAt ?? null },
    { state: "opened", words: "Opened by you", at: delivery?.openedAt ?? null },
  ];
  if (delivery?.failedAt != null && delivery.shownAt === null) {
    steps.push({ state: "failed", words: failWords(delivery), at: delivery.failedAt });
  }
  return steps;
}

/** What to make of it by now, or null while there is nothing to say yet. */
export function trialVerdict(delivery: WireDelivery | null, waitedMs: number): string | null {
  if (delivery === null)
    return waitedMs < TRIAL_PATIENCE_MS ? null : "The server has not begun to send it within 10 s.";
  if (delivery.shownAt !== null) return "This phone shows messages.";
  if (delivery.failedAt !== null) return failWords(delivery);
  if (delivery.acceptedAt === null && delivery.answer !== null)
    return `${answerWords(delivery.answer)} It is tried again.`;
  if (waitedMs < TRIAL_PATIENCE_MS) return null;
  if (delivery.acceptedAt === null) return "No answer from the push service within 10 s. It is tried again.";
  return (
    "The push service has it, and this phone has not shown it within 10 s. Is the phone on the internet, and does its " +
    "sleep mode or battery saver let this app through?"
  );
}
