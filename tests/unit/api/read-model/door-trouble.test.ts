import { expect, test } from "vitest";
import { doorTroubles } from "../../../../api/read-model/door-trouble.ts";

const well = {
  ...{ collector: true, connected: true, unacknowledged: 0, reconnects: 0, broker: null, linesAway: [], pair: null },
};

test("a collector that is not heard is all that is known of the way in", () => {
  expect(doorTroubles(well, 0)).toEqual([]);
  expect(doorTroubles({ ...well, connected: false }, 0)).toEqual([{ code: "broker-away", at: null, messages: null }]);
  expect(doorTroubles({ ...well, collector: false, connected: false }, 0)).toEqual([
    { code: "collector-away", at: null, messages: null },
  ]);
});

test("each line that is cut off, damaged or not read is told by its name, and since when", () => {
  const linesAway = [
    { line: "white", sinceMs: 0, trouble: "away" },
    { line: "black", sinceMs: 1_000, trouble: "damaged" },
    { line: "grey", sinceMs: 1_000, trouble: "unread" },
  ] as const;
  expect(doorTroubles({ ...well, linesAway }, 5_000)).toEqual([
    { code: "line-away", at: "1970-01-01T00:00:00.000Z", messages: null, line: "white" },
    { code: "line-damaged", at: "1970-01-01T00:00:01.000Z", messages: null, line: "black" },
    { code: "line-unread", at: "1970-01-01T00:00:01.000Z", messages: null, line: "grey" },
  ]);
});

test("that no collector stands by is told after half a minute, beside what else is wrong", () => {
  const pair = { active: "b", epoch: 4, aloneSinceMs: 1_000 };
  const told = { code: "standby-missing", at: "1970-01-01T00:00:01.000Z", messages: null, collector: "b" };
  expect(doorTroubles({ ...well, pair }, 30_999)).toEqual([]);
  expect(doorTroubles({ ...well, pair }, 31_000)).toEqual([told]);
  expect(doorTroubles({ ...well, pair: { ...pair, aloneSinceMs: null } }, 100_000)).toEqual([]);
  expect(doorTroubles({ ...well, pair, connected: false }, 31_000)).toEqual([
    { code: "broker-away", at: null, messages: null },
    told,
  ]);
});
