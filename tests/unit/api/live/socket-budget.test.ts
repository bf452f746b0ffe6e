import { expect, test } from "vitest";
import { frameFor, socketBudget } from "../../../../api/live/socket-budget.ts";

const { skipBytes, dropBytes, dropMs } = socketBudget;

test.each([
  ["reads everything", 0, null, "send"],
  ["has a frame or two on the way", skipBytes, null, "send"],
  ["lags", skipBytes + 1, null, "skip"],
  ["lags for less than ten seconds", skipBytes + 1, 1_001, "skip"],
  ["lags for ten seconds", skipBytes + 1, 1_000, "drop"],
  ["leaves more unread than we keep", dropBytes + 1, null, "drop"],
  ["has caught up after lagging", 10, 0, "send"],
] as const)("a page that %s", (_words, unread, since, verdict) => {
  expect(frameFor(unread, since, 1_000 + dropMs, socketBudget)).toBe(verdict);
});
