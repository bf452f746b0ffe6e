import { expect, test } from "vitest";
import { sourceTroubles } from "../../../collector/pipeline/source-trouble.ts";
import type { LateSource, MissingStretch } from "../../../collector/store/sample-store.ts";

const nowMs = Date.parse("2026-11-25T12:00:00Z");
const minuteMs = 60_000;
const hole = (minutesAgo: number, messages: number, over: Partial<MissingStretch> = {}): MissingStretch => {
  const foundMs = nowMs - minutesAgo * minuteMs;
  return { source: "GW-PR", messages, foundMs, afterMs: foundMs - 3_000, beforeMs: foundMs - 1_000, ...over };
};
const trouble = (
  stretches: readonly MissingStretch[],
  offsets: Readonly<Record<string, number>> = {},
  source = "GW-PR",
  late: readonly LateSource[] = [],
) =>
  sourceTroubles(
    { missingStretches: () => stretches, lateSources: () => late },
    { clockOffsetsMs: new Map(Object.entries(offsets)), refused: new Map() },
    nowMs,
  )(source);

test("gaps of a shift are put together, from the first to the last, and each source has its own", () => {
  const stretches = [hole(60, 3), hole(10, 4), hole(20, 100, { source: "GW-AO" })];
  expect(trouble(stretches).missing).toEqual({
    messages: 7,
    afterMs: nowMs - 60 * minuteMs - 3_000,
    beforeMs: nowMs - 10 * minuteMs - 1_000,
  });
  expect(trouble(stretches, {}, "GW-DR").missing).toBeNull();
});

test("an old gap is no longer shown, and one of this second not yet: the message may only be late", () => {
  expect(trouble([hole(8 * 60 + 1, 3), hole(0, 2)]).missing).toBeNull();
  expect(trouble([hole(8 * 60 - 1, 3), hole(0.2, 2)]).missing?.messages).toBe(5);
});

test("messages without times are counted all the same", () => {
  expect(trouble([hole(5, 2, { afterMs: null, beforeMs: null })]).missing).toEqual({
    messages: 2,
    afterMs: null,
    beforeMs: null,
  });
});

test.each([
  [4_000, null],
  [6_000, 6_000],
  [-20_000, null],
  [-31_000, -31_000],
])("a clock that is %s ms ahead is shown as %s", (offset, shown) => {
  expect(trouble([], { "GW-PR": offset }).clockMs).toBe(shown);
});

test("a source of which everything lately came late is told, with the reading that it came behind", () => {
  const newestMs = nowMs + 3_600_000;
  const late = (readings: number, secondsAgo: number) =>
    trouble([], {}, "GW-PR", [{ source: "GW-PR", readings, arrivedMs: nowMs - secondsAgo * 1_000, newestMs }]).late;
  expect(late(20, 1)).toEqual({ readings: 20, newestMs });
  expect(late(19, 1)).toBeNull();
  // It has long said nothing: then that is what is wrong.
  expect(late(20, 601)).toBeNull();
  expect(trouble([]).late).toBeNull();
});
