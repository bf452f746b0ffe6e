import { expect, test } from "vitest";
import type { FlagLabel } from "../../../spc/model/signal.ts";
import { FLOOD_MESSAGES, roomLeft } from "../../../spc/notify/flood.ts";

const nowMs = 10_000_000;
const sent = (label: FlagLabel, ...secondsAgo: readonly number[]) =>
  secondsAgo.map((seconds) => ({ label, queuedMs: nowMs - 1000 * seconds }));
const ten = Array.from({ length: FLOOD_MESSAGES }, (_, i) => 30 * i);

test("there is room for ten in ten minutes, and for more as the first ones grow old", () => {
  expect(roomLeft([], "look", nowMs)).toBe(10);
  expect(roomLeft(sent("look", 0, 599.999, 600), "look", nowMs)).toBe(8);
  expect(roomLeft(sent("look", ...ten), "look", nowMs)).toBe(0);
  expect(roomLeft(sent("look", ...ten, 1, 2), "look", nowMs)).toBe(0);
  expect(roomLeft(sent("look", ...ten), "look", nowMs + 330_000)).toBe(1);
});

test("what is less urgent takes no room from what is more so", () => {
  expect(roomLeft(sent("look", ...ten), "act-now", nowMs)).toBe(10);
  expect(roomLeft(sent("act-now", ...ten), "look", nowMs)).toBe(0);
  expect(roomLeft([...sent("for-review", ...ten), ...sent("act-now", 5)], "look", nowMs)).toBe(9);
});
