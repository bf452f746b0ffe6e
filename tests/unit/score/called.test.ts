import { expect, test } from "vitest";
import { type CalledBy, calledBy } from "../../score/compare/called.ts";

const process = (atMs: number, calls = true): CalledBy => ({ atMs, kind: "process", calls });
const instrument = (atMs: number): CalledBy => ({ atMs, kind: "instrument", calls: true });

test("flags of one kind say that kind", () => {
  expect(calledBy([process(5)], 10)).toBe("process");
  expect(calledBy([instrument(5)], 10)).toBe("sensor");
  expect(calledBy([], 10)).toBeNull();
});

test("an instrument's flag rules over what is only for review, and over what comes after it", () => {
  expect(calledBy([process(4, false), instrument(5)], 10)).toBe("sensor");
  expect(calledBy([instrument(5), process(6)], 10)).toBe("sensor");
});

test("a process that was called out before its instrument was doubted is undecided", () => {
  expect(calledBy([process(4), instrument(5)], 10)).toBe("undecided");
});

test("what nobody decided is undecided, and what comes later is not looked at", () => {
  expect(calledBy([{ atMs: 5, kind: "undecided", calls: true }], 10)).toBe("undecided");
  expect(calledBy([process(5), instrument(11)], 10)).toBe("process");
});
