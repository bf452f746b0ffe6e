import { expect, test } from "vitest";
import type { WireInstrument } from "../../../../api/contract/instrument-wire.ts";
import {
  calibrationWords,
  checkWord,
  filteredInstruments,
  instrumentFilter,
  instrumentSearch,
  newestWords,
  shareWords,
} from "../../../../dashboard/model/instrument-words.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";

const one: WireInstrument = {
  ...{ series: "PR-02/pressure", station: "PR-02", role: "pressure", source: "GW-PR", stage: "Moulding" },
  ...{ quantity: "steam-pressure", reference: "gauge", unit: "bar", digits: 3, is: "transmitter", everyMs: 1_000 },
  state: "fault",
  newest: { at: "2026-11-25T08:00:00.000Z", value: 0.431, quality: "good" },
  evidence: [],
  checks: [],
  flag: null,
  calibration: { on: "2025-11-10", due: "2026-11-10", overdue: true },
  shares: [],
};
const nowMs = Date.parse("2026-11-25T08:04:30.000Z");
const day = siteTimes("CET").fullDay;

test("a reading has its unit and its age, and one without a value says so", () => {
  expect(newestWords(one, nowMs)).toBe("0.431\u202fbarg, 4 min old");
  expect(newestWords({ ...one, newest: { ...one.newest!, value: null } }, nowMs)).toBe("no value, 4 min old");
  expect(newestWords({ ...one, newest: null }, nowMs)).toBe("no reading yet");
});

test("calibration is due, overdue, on record or not stated", () => {
  expect(calibrationWords(one, day)).toBe("calibrated 10 Nov 2025, overdue since 10 Nov 2026");
  const due = { ...one, calibration: { on: "2026-03-02", due: "2027-03-02", overdue: false } };
  expect(calibrationWords(due, day)).toBe("calibrated 2 Mar 2026, due 2 Mar 2027");
  expect(calibrationWords({ ...one, calibration: { on: null, due: null, overdue: true } }, day)).toBe(
    "no calibration on record",
  );
  expect(calibrationWords({ ...one, calibration: null }, day)).toBe("calibration not stated");
});

test("a share is told in whole percent with the error behind it, or with why there is none", () => {
  const share = {
    characteristic: "x",
    name: "plateau",
    part: null,
    error: 0.0175,
    unit: "bar",
    share: 0.21875,
    why: null,
  };
  expect(shareWords(share)).toBe("plateau: ±0.0175\u202fbar eats 22 % of the tolerance");
  expect(
    shareWords({ ...share, error: 1.5, unit: "Cel", share: null, why: "the specification has one side only" }),
  ).toBe("plateau: ±1.5\u202fK; share not stated, the specification has one side only");
});

test("the address keeps what is chosen, and passes over what it does not know", () => {
  const filter = { station: "PR-02", state: "fault" } as const;
  expect(instrumentFilter(instrumentSearch(filter))).toEqual(filter);
  expect(instrumentFilter("?state=fine")).toEqual({ station: null, state: null });
  expect(instrumentSearch({ station: null, state: null })).toBe("");
  expect(filteredInstruments([one], filter)).toHaveLength(1);
  expect(filteredInstruments([one], { station: "PR-01", state: null })).toEqual([]);
});

test("a check without words of its own is named as it is", () => {
  expect(checkWord("zero")).toBe("known zero");
  expect(checkWord("another")).toBe("another");
});
