import { expect, test } from "vitest";
import type { FlagMoment, FlagState } from "../../../spc/flags/flag.ts";
import type { Told } from "../../../spc/model/message.ts";
import { withinHours } from "../../../spc/notify/hours.ts";
import { type FlagNews, type Reachable, whoIsTold } from "../../../spc/notify/who-is-told.ts";

const minute = (clock: string): number => {
  const [hour, min] = clock.split(":").map(Number) as [number, number];
  return 60 * hour + min;
};

test.each([
  ["always", "03:00", true],
  ["22:00-06:00", "22:00", true],
  ["22:00-06:00", "05:59", true],
  ["22:00-06:00", "06:00", false],
  ["22:00-06:00", "21:59", false],
  ["06:00-14:00", "13:59", true],
  ["06:00-14:00", "14:00", false],
  ["06:00-06:00", "05:59", true],
  ["00:00-00:01", "00:00", true],
])("hours of %s take in %s: %s", (hours, clock, expected) => {
  expect(withinHours(hours, minute(clock))).toBe(expected);
});

const moment: FlagMoment = {
  ...{ atMs: 0, run: "PO-A:1", value: 715, line: 738 },
  ...{ side: "below", on: "specification", z: null },
};
const flag = {
  ...{ label: "act-now", state: "waiting", worst: moment, first: moment, last: moment },
} as unknown as FlagState;
const told: Told = { label: "act-now", value: 715, line: 738, on: "specification", z: null };
const night: Reachable = { id: "night", labels: ["act-now"], hours: "22:00-06:00", afterMs: 0 };
const lead: Reachable = { id: "lead", labels: ["act-now", "look"], hours: "always", afterMs: 0 };
const news = (over: Partial<FlagNews>): FlagNews => ({
  ...{ flag, labelBefore: null, told: new Map(), sigma: 4, minuteOfDay: minute("23:00") },
  ...over,
});

test("everybody whose labels and hours fit is told, once", () => {
  expect(whoIsTold([night, lead], news({}))).toEqual([
    { person: "night", why: "opened" },
    { person: "lead", why: "opened" },
  ]);
  expect(whoIsTold([night, lead], news({ minuteOfDay: minute("12:00") }))).toEqual([{ person: "lead", why: "opened" }]);
  expect(whoIsTold([night, lead], news({ flag: { ...flag, label: "look" } }))).toEqual([
    { person: "lead", why: "opened" },
  ]);
  expect(whoIsTold([{ ...lead, labels: [] }], news({}))).toEqual([]);
  const all = new Map([["night", told] as const, ["lead", told] as const]);
  expect(whoIsTold([night, lead], news({ told: all }))).toEqual([]);
});

test("whoever stands in for others is not told at once, nor of what is worse before they were told", () => {
  const manager: Reachable = { ...lead, id: "manager", afterMs: 900_000 };
  expect(whoIsTold([manager], news({}))).toEqual([]);
  expect(whoIsTold([manager], news({ labelBefore: "look" }))).toEqual([]);
  const look = new Map([["manager", { ...told, label: "look" } as const]]);
  expect(whoIsTold([manager], news({ told: look }))).toEqual([{ person: "manager", why: "raised" }]);
});

const worse = (over: Partial<FlagMoment>, label: FlagState["label"] = "act-now"): FlagState => ({
  ...flag,
  label,
  worst: { ...moment, ...over },
});
const once = new Map([["lead", told]]);

test("told again only when the worst moves out by a sigma, or the label rises", () => {
  expect(whoIsTold([lead], news({ told: once, flag: worse({ value: 711.01 }) }))).toEqual([]);
  expect(whoIsTold([lead], news({ told: once, flag: worse({ value: 711 }) }))).toEqual([
    { person: "lead", why: "further" },
  ]);
  // Without limits nobody knows what a sigma is.
  expect(whoIsTold([lead], news({ told: once, flag: worse({ value: 600 }), sigma: null }))).toEqual([]);
  const look = new Map([["lead", { ...told, label: "look" } as const]]);
  expect(whoIsTold([lead], news({ told: look }))).toEqual([{ person: "lead", why: "raised" }]);
  expect(whoIsTold([lead], news({ told: once, flag: worse({}, "look") }))).toEqual([]);
});

test("on a control chart the distance is that of the plotted statistic", () => {
  const chart = new Map([["lead", { ...told, on: "location", z: -3.4 } as const]]);
  expect(whoIsTold([lead], news({ told: chart, flag: worse({ on: "location", z: -4.3 }) }))).toEqual([]);
  expect(whoIsTold([lead], news({ told: chart, flag: worse({ on: "location", z: -4.4 }) }))).toHaveLength(1);
  // A jump from run to run and a level have no sigma in common.
  expect(whoIsTold([lead], news({ told: chart, flag: worse({ on: "spread", z: 9 }) }))).toEqual([]);
});

test("what somebody has taken, or closed, is news to nobody who was not told, unless its label rises", () => {
  const taken: FlagState = { ...flag, state: "taken" };
  expect(whoIsTold([lead], news({ flag: taken, labelBefore: "act-now" }))).toEqual([]);
  expect(whoIsTold([lead], news({ flag: taken, labelBefore: "look" }))).toEqual([{ person: "lead", why: "opened" }]);
  expect(whoIsTold([lead], news({ flag: { ...flag, state: "done" } }))).toEqual([]);
});
