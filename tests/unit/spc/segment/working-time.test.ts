import { describe, expect, it, test } from "vitest";
import { zoneOffsets } from "../../../../collector/platform/settings/zone-offsets.ts";
import type { ShiftClock } from "../../../../spc/segment/station-context.ts";
import { freeTime, shiftAt, workingTime } from "../../../../spc/segment/working-time.ts";

const hourMs = 3_600_000;
const names = ["early", "late", "night"];
const berlin: ShiftClock = {
  shifts: names.map((name, i) => ({ name, fromMs: (6 + 8 * i) * hourMs })),
  offsets: zoneOffsets("Europe/Berlin"),
};
const fiveDays: ShiftClock = { ...berlin, shifts: berlin.shifts.map((one) => ({ ...one, days: [0, 1, 2, 3, 4] })) };
const at = (text: string): number => Date.parse(text);
const stretch = (from: string, to: string) => ({ startMs: at(from), endMs: at(to) });

test.each([
  ["2026-11-25T06:00:00+01:00", "early", "2026-11-25T06:00:00+01:00"],
  ["2026-11-25T05:59:59.999+01:00", "night", "2026-11-24T22:00:00+01:00"],
  ["2026-11-25T15:20:31+01:00", "late", "2026-11-25T14:00:00+01:00"],
  ["2026-11-26T00:30:00+01:00", "night", "2026-11-25T22:00:00+01:00"],
  ["2026-07-01T06:00:00+02:00", "early", "2026-07-01T06:00:00+02:00"],
])("at %s the %s shift works since %s", (now, name, since) => {
  const startMs = at(since);
  expect(shiftAt(at(now), berlin)).toEqual({ name, startMs, endMs: startMs + 8 * hourMs });
});

test("the night in which clocks change lasts from ten on the one clock until six on the other", () => {
  const spring = stretch("2026-03-28T22:00:00+01:00", "2026-03-29T06:00:00+02:00");
  expect(shiftAt(spring.endMs - 1, berlin)).toEqual({ name: "night", ...spring });
  expect(shiftAt(spring.endMs, berlin)?.name).toBe("early");
  const autumn = stretch("2026-10-24T22:00:00+02:00", "2026-10-25T06:00:00+01:00");
  expect(shiftAt(autumn.startMs, berlin)).toEqual({ name: "night", ...autumn });
});

test("with one shift a day it began yesterday until that time has come, and works around the clock", () => {
  const one = { shifts: [{ name: "day", fromMs: 8 * hourMs }], offsets: zoneOffsets("Asia/Kolkata") };
  expect(shiftAt(at("2026-11-25T07:00:00+05:30"), one)?.startMs).toBe(at("2026-11-24T08:00:00+05:30"));
});

test("a site without shifts has none, and knows no free time either", () => {
  const none = { shifts: [], offsets: zoneOffsets("UTC") };
  expect([shiftAt(0, none), freeTime(0, none), workingTime(0, none)]).toEqual([null, null, null]);
});

describe("five days a week", () => {
  it("Friday's night shift is the last: it is Saturday's morning that is free", () => {
    expect(shiftAt(at("2026-11-28T05:59:00+01:00"), fiveDays)?.name).toBe("night");
    expect(shiftAt(at("2026-11-28T06:00:00+01:00"), fiveDays)).toBeNull();
    expect(shiftAt(at("2026-11-30T05:59:00+01:00"), fiveDays)).toBeNull();
    expect(shiftAt(at("2026-11-30T06:00:00+01:00"), fiveDays)?.name).toBe("early");
  });

  it.each([
    ["in winter", "2026-11-28T06:00:00+01:00", "2026-11-30T06:00:00+01:00", 48],
    ["in which clocks go forward", "2026-03-28T06:00:00+01:00", "2026-03-30T06:00:00+02:00", 47],
    ["in which clocks go back", "2026-10-24T06:00:00+02:00", "2026-10-26T06:00:00+01:00", 49],
  ])("the free time %s is one", (_, from, to, hours) => {
    const free = stretch(from, to);
    expect((free.endMs - free.startMs) / hourMs).toBe(hours);
    for (const tMs of [free.startMs, free.startMs + 20 * hourMs, free.endMs - 1]) {
      expect(freeTime(tMs, fiveDays)).toEqual(free);
      expect(workingTime(tMs, fiveDays)).toBeNull();
    }
    expect(freeTime(free.startMs - 1, fiveDays)).toBeNull();
    expect(freeTime(free.endMs, fiveDays)).toBeNull();
  });

  it("the week between is one stretch of work", () => {
    const week = stretch("2026-11-30T06:00:00+01:00", "2026-12-05T06:00:00+01:00");
    expect(workingTime(at("2026-12-02T13:00:00+01:00"), fiveDays)).toEqual(week);
    expect(workingTime(at("2026-12-02T13:00:00+01:00"), berlin)).toBeNull();
  });

  it("a works that shuts over the holidays is free from the last shift to the first, weekends and all", () => {
    // Thursday 24 December to Sunday 3 January, of which the last two are a weekend anyway.
    const freeDays = Array.from({ length: 9 }, (_, i) => 20_811 + i);
    const shut = { ...fiveDays, freeDays };
    const free = stretch("2026-12-24T06:00:00+01:00", "2027-01-04T06:00:00+01:00");
    expect(shiftAt(free.startMs - 1, shut)?.name).toBe("night");
    for (const tMs of [free.startMs, at("2026-12-29T03:00:00+01:00"), free.endMs - 1]) {
      expect(shiftAt(tMs, shut)).toBeNull();
      expect(freeTime(tMs, shut)).toEqual(free);
    }
    expect(workingTime(free.endMs, shut)).toEqual(stretch("2027-01-04T06:00:00+01:00", "2027-01-09T06:00:00+01:00"));
  });

  it("one holiday where every day is a working day", () => {
    const may = { ...berlin, freeDays: [Date.UTC(2027, 4, 1) / 86_400_000] };
    const free = stretch("2027-05-01T06:00:00+02:00", "2027-05-02T06:00:00+02:00");
    expect(freeTime(free.startMs, may)).toEqual(free);
    expect(workingTime(free.startMs - 1, may)?.endMs).toBe(free.startMs);
    expect(workingTime(free.endMs, may)?.startMs).toBe(free.endMs);
    expect(workingTime(free.startMs, may)).toBeNull();
  });

  it("a shift of its own days leaves every other time free", () => {
    const sundays = { ...berlin, shifts: [{ name: "stokers", fromMs: 20 * hourMs, days: [6] }] };
    expect(freeTime(at("2026-12-02T13:00:00+01:00"), sundays)).toEqual(
      stretch("2026-11-30T20:00:00+01:00", "2026-12-06T20:00:00+01:00"),
    );
  });
});
