import { expect, test } from "vitest";
import type { SignalPolicy } from "../../../../spc/model/signal.ts";
import { signalWords } from "../../../../spc/monitor/signal-policy.ts";

const policies: readonly SignalPolicy[] = [
  { rule: "beyond-limit", side: "below", label: "act-now", doFirst: "Hold the next flask", says: "metal too cold" },
  { rule: "beyond-limit", on: "spread", label: "look", doFirst: "Look at the pyrometer's window" },
  { rule: "nine-on-one-side", label: "act-now", doFirst: "Compare with the dip" },
  { rule: "outside-specification", label: "act-now", says: "outside the control plan" },
];

test("a policy gives label, first step and words on its side", () => {
  expect(signalWords(policies, "beyond-limit", "below", "location")).toEqual({
    label: "act-now",
    doFirst: "Hold the next flask",
    says: "metal too cold",
  });
});

test("a signal without a policy is for review, in the rule's own words", () => {
  expect(signalWords(policies, "beyond-limit", "above", "location")).toEqual({
    label: "for-review",
    doFirst: null,
    says: "above its upper limit",
  });
});

test("a policy that names no chart does not speak for the moving range", () => {
  const onLocation = signalWords(policies.slice(0, 1), "beyond-limit", "below", "spread");
  expect(onLocation.label).toBe("for-review");
  expect(signalWords(policies, "beyond-limit", "above", "spread")).toEqual({
    label: "look",
    doFirst: "Look at the pyrometer's window",
    says: "jumps from run to run",
  });
});

test("a chart of an instrument says so by its label, and only with something to do first", () => {
  const of = (doFirst: string | undefined): SignalPolicy => ({
    ...{ rule: "beyond-limit", side: "above", label: "instrument-fault", says: "zero drifts up" },
    ...(doFirst === undefined ? {} : { doFirst }),
  });
  const first = "Check it at zero against a second gauge.";
  expect(signalWords([of(first)], "beyond-limit", "above", "location").label).toBe("instrument-fault");
  expect(signalWords([of(undefined)], "beyond-limit", "above", "location").label).toBe("for-review");
});

test("a run rule stays for review whatever its policy says, and keeps its first step", () => {
  expect(signalWords(policies, "nine-on-one-side", "above", "location")).toMatchObject({
    label: "for-review",
    doFirst: "Compare with the dip",
  });
});

test("nothing without a first step stands above for review", () => {
  expect(signalWords(policies, "outside-specification", "above", "specification")).toEqual({
    label: "for-review",
    doFirst: null,
    says: "outside the control plan",
  });
});

test("the first policy that fits wins", () => {
  const both: readonly SignalPolicy[] = [
    { rule: "beyond-limit", label: "look", doFirst: "first" },
    { rule: "beyond-limit", side: "above", label: "act-now", doFirst: "second" },
  ];
  expect(signalWords(both, "beyond-limit", "above", "location").doFirst).toBe("first");
});
