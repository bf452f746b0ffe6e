import { expect, test } from "vitest";
import type { WireDelivery, WireMessage } from "../../../../api/contract/message-wire.ts";
import {
  hoursWords,
  ledgerFilter,
  ledgerSearch,
  ledgerShows,
  ledgerSteps,
  ledgerTrouble,
} from "../../../../dashboard/model/message-words.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";
import { flag, iso, noonMs } from "../wire-samples.ts";

const times = siteTimes("CET");

function delivery(over: Partial<WireDelivery> = {}): WireDelivery {
  return {
    ...{ device: "d1", deviceName: "Phone", state: "queued", queuedAt: iso(noonMs), sentAt: null, attempts: 0 },
    ...{ answer: null, againAt: null, acceptedAt: null, shownAt: null, openedAt: null, failedAt: null, reason: null },
    ...over,
  };
}

function message(over: Partial<WireMessage> = {}): WireMessage {
  return {
    ...{ id: "m1", person: "lead", personName: "Early lead", flag: flag().id, why: "opened", label: "act-now" },
    ...{ title: "ACT NOW PO-A: metal too cold", body: "715 C", queuedAt: iso(noonMs), expiresAt: iso(noonMs + 9e5) },
    ...{ deliveries: [], taken: null },
    ...over,
  };
}

test("each of the five states has its own time, and none is read from another", () => {
  const only = (over: Partial<WireDelivery>): (string | null)[] =>
    ledgerSteps(message(), delivery(over), noonMs).map(({ at }) => at);
  const at = iso(noonMs + 1_000);
  expect(only({})).toEqual([iso(noonMs), null, null, null, null]);
  expect(only({ acceptedAt: at })).toEqual([iso(noonMs), at, null, null, null]);
  // A report of the phone may overtake the service's answer.
  expect(only({ shownAt: at })).toEqual([iso(noonMs), null, at, null, null]);
  expect(only({ openedAt: at })).toEqual([iso(noonMs), null, null, at, null]);
  const taken = ledgerSteps(message({ taken: { by: "Night lead", at } }), delivery(), noonMs).at(-1);
  expect(taken).toMatchObject({ name: "taken", words: "Taken by Night lead", at });
  // A test of a phone is of no flag: nobody takes it.
  expect(ledgerSteps(message({ flag: null }), delivery(), noonMs).map(({ name }) => name)).not.toContain("taken");
});

test("what has not happened may still come until the message fails or ends, then it does not", () => {
  const absent = (over: Partial<WireDelivery>, nowMs: number): string[] =>
    ledgerSteps(message(), delivery(over), nowMs).map((one) => one.absent);
  expect(absent({}, noonMs)).toEqual(Array(5).fill("not yet"));
  // The flag is still to be taken, whatever became of the message.
  expect(absent({ failedAt: iso(noonMs) }, noonMs)).toEqual(["no", "no", "no", "no", "not yet"]);
  expect(absent({}, noonMs + 9e5 + 1)[2]).toBe("no");
});

test("what is in the way is told with its reason, and nothing is where all is well", () => {
  expect(ledgerTrouble(delivery({ acceptedAt: iso(noonMs), attempts: 1, answer: "201" }), times)).toBeNull();
  const trying = delivery({ attempts: 2, answer: "ENOTFOUND", againAt: iso(noonMs + 30_000) });
  expect(ledgerTrouble(trying, times)).toMatch(
    /^Tried 2 times\. This server cannot reach the push service \(ENOTFOUND\).*Tried again 13:00:30\.$/,
  );
  const failed = (reason: WireDelivery["reason"], answer: string | null = null): string | null =>
    ledgerTrouble(delivery({ failedAt: iso(noonMs), reason, answer }), times);
  expect(failed("no-device")).toBe("Failed 13:00:00. No device is set up for this person: nobody was reached.");
  expect(failed("gone", "410")).toMatch(/no more/);
  expect(failed("unreachable", "timeout")).toMatch(/cannot reach the push service/);
  expect(failed("not-allowed", "403")).toMatch(/does not let this server in/);
  // The service gave up, and the phone says that it shows it: the phone is right.
  expect(ledgerTrouble(delivery({ failedAt: iso(noonMs), shownAt: iso(noonMs), reason: "expired" }), times)).toBeNull();
});

test("a filter stands in the address and comes back from it; what makes no sense is passed over", () => {
  const filter = { person: "night-lead", state: "failed", flag: "PO-A:x/1", after: "abc" } as const;
  expect(ledgerFilter(ledgerSearch(filter))).toEqual(filter);
  const none = { person: null, state: null, flag: null, after: null };
  expect(ledgerSearch(none)).toBe("");
  expect(ledgerFilter("?state=lost&other=1")).toEqual(none);
  const one = message({ deliveries: [delivery({ state: "failed" }), delivery({ device: "d2", state: "shown" })] });
  expect(ledgerShows(one, { ...none, state: "shown" })).toBe(true);
  expect(ledgerShows(one, { ...none, state: "queued" })).toBe(false);
  expect(ledgerShows(one, { ...none, person: "late-lead" })).toBe(false);
  expect([hoursWords("always"), hoursWords("22:00-06:00")]).toEqual(["always", "22:00 to 06:00"]);
});
