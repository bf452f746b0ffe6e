import { expect, test } from "vitest";
import { type ClockLook, clockSkew } from "../../../../spc/health/clock-skew.ts";

const look: ClockLook = { leastDelayMs: 120, messages: 200, latenessMs: 30_000, catchingUp: false };

test("a source whose readings come before their own time has a clock that runs ahead", () => {
  expect(clockSkew({ ...look, leastDelayMs: -4_200 })).toEqual({
    check: "clock-skew",
    verdict: "fault",
    says: "its clock is 4.2 s ahead of ours by its last 200 messages",
  });
});

test("one that seems late may be behind, or slow on the way", () => {
  expect(clockSkew({ ...look, leastDelayMs: 45_000 })?.verdict).toBe("undecided");
  expect(clockSkew({ ...look, leastDelayMs: 20_000 })?.verdict).toBe("well");
});

test("a source that sends its past, or has hardly spoken, says nothing of its clock", () => {
  expect(clockSkew({ ...look, leastDelayMs: 9e7, catchingUp: true })).toBeNull();
  expect(clockSkew({ ...look, leastDelayMs: -9e3, messages: 19 })).toBeNull();
});
