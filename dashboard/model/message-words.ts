import type { WireDelivery, WireDevice, WireMessage } from "../../api/contract/message-wire.ts";
import type { SiteTimes } from "./times.ts";

export const deliveryStates = ["queued", "accepted", "shown", "opened", "failed"] as const;
export type DeliveryState = (typeof deliveryStates)[number];

const stateWords: Readonly<Record<DeliveryState, string>> = {
  queued: "Queued, not accepted yet",
  accepted: "Accepted, not shown yet",
  shown: "Shown, not opened",
  opened: "Opened",
  failed: "Failed",
};

/** How far a message has come, as a filter names it. */
export function deliveryStateWords(state: DeliveryState): string {
  return stateWords[state];
}

export interface LedgerFilter {
  readonly person: string | null;
  readonly state: DeliveryState | null;
  readonly flag: string | null;
  /** Where older ones begin: a cursor of the list. */
  readonly after: string | null;
}

export function ledgerFilter(search: string): LedgerFilter {
  const given = new URLSearchParams(search);
  const state = given.get("state");
  return {
    person: given.get("person"),
    state: deliveryStates.find((one) => one === state) ?? null,
    flag: given.get("flag"),
    after: given.get("after"),
  };
}

export function ledgerSearch(filter: LedgerFilter): string {
  const said = new URLSearchParams();
  for (const name of ["person", "state", "flag", "after"] as const) {
    const value = filter[name];
    if (value !== null) said.set(name, value);
  }
  return said.size === 0 ? "" : `?${said}`;
}

export function ledgerShows(message: WireMessage, { person, state }: LedgerFilter): boolean {
  if (person !== null && message.person !== person) return false;
  return state === null || message.deliveries.some((one) => one.state === state);
}

export interface LedgerStep {
  readonly name: "queued" | "accepted" | "shown" | "opened" | "taken";
  readonly words: string;
  /** Null while it is not known to have happened. */
  readonly at: string | null;
  /** What stands where there is no time: it may still come, or it will not. */
  readonly absent: "not yet" | "no";
}

/** The five states of a message on one device, each with its own time: none is taken from another. */
export function ledgerSteps(message: WireMessage, delivery: WireDelivery, nowMs: number): readonly LedgerStep[] {
  const over = delivery.failedAt !== null || nowMs > Date.parse(message.expiresAt);
  const absent = over ? "no" : "not yet";
  const steps: LedgerStep[] = [
    { name: "queued", words: "Queued", at: delivery.queuedAt, absent },
    { name: "accepted", words: "Accepted by the push service", at: delivery.acceptedAt, absent },
    { name: "shown", words: "Shown by the phone", at: delivery.shownAt, absent },
    { name: "opened", words: "Opened", at: delivery.openedAt, absent },
  ];
  if (message.flag === null) return steps;
  const { taken } = message;
  const words = taken === null ? "Taken" : `Taken by ${taken.by}`;
  return [...steps, { name: "taken", words, at: taken?.at ?? null, absent: "not yet" }];
}

/** What went wrong on the way so far, or for good; null while nothing did. */
export function ledgerTrouble(delivery: WireDelivery, times: SiteTimes): string | null {
  const { failedAt, shownAt, acceptedAt, answer, attempts, againAt } = delivery;
  if (failedAt !== null && shownAt === null) {
    return `Failed ${times.clock(Date.parse(failedAt))}. ${failWords(delivery)}`;
  }
  if (acceptedAt !== null || answer === null || attempts === 0) return null;
  const tried = attempts === 1 ? "Tried once." : `Tried ${attempts} times.`;
  const again = againAt === null ? "" : ` Tried again ${times.clock(Date.parse(againAt))}.`;
  return `${tried} ${answerWords(answer)}${again}`;
}

/** `always`, or `22:00 to 06:00`. */
export function hoursWords(hours: string): string {
  return hours.replace("-", " to ");
}

/** How far a device can be relied on. */
export function deviceWords(device: WireDevice, times: SiteTimes, nowMs: number): string {
  const near = (at: string): string => times.near(Date.parse(at), nowMs);
  if (device.state === "gone") {
    const by = device.goneWhy === "person" ? "taken off" : "the push service says that it is no more";
    return `gone, ${by} ${device.goneAt === null ? "" : near(device.goneAt)}`;
  }
  if (device.state === "ok" && device.lastShownAt !== null) return `ok, showed a message ${near(device.lastShownAt)}`;
  if (device.lastShownAt === null) return "doubtful, has never shown a message: test it";
  return `doubtful, did not show the last ones, last shown ${near(device.lastShownAt)}: test it`;
}

/** Why a message did not get to a device, for whoever can do something about it. */
export function failWords({ reason, answer }: Pick<WireDelivery, "reason" | "answer">): string {
  switch (reason) {
    case "gone":
      return "The push service says that this device is no more. Set this phone up again.";
    case "refused":
      return "The push service refused what the server sent: a defect of ours. The server's log has it.";
    case "not-allowed":
    case "unreachable":
      return answerWords(answer ?? "");
    case "service-trouble":
      return `The push service had trouble of its own (${answer}).`;
    case "no-device":
      return "No device is set up for this person: nobody was reached.";
    default:
      return "It could not be sent in time.";
  }
}

/** What a push service answered, or why it did not. */
export function answerWords(answer: string): string {
  if (answer === "401" || answer === "403") {
    return `The push service does not let this server in (${answer}): its key, its clock or the contact in its settings.`;
  }
  if (/^\d+$/.test(answer)) return `The push service answered ${answer}.`;
  return `This server cannot reach the push service (${answer}). It needs the way out to the internet by https.`;
}
