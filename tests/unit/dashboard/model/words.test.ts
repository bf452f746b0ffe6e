import { expect, test } from "vitest";
import { capabilityWords } from "../../../../dashboard/model/capability-words.ts";
import { byUrgency, ringLabel, ruleWords, valueAgainst } from "../../../../dashboard/model/flag-words.ts";
import { missingLimits } from "../../../../dashboard/model/limit-words.ts";
import { counted, figure } from "../../../../dashboard/model/numbers.ts";
import { runName, runStartMs } from "../../../../dashboard/model/run-name.ts";
import { signalParts } from "../../../../dashboard/model/signal-id.ts";
import { ageWord, siteTimes, spanWord, waitWord } from "../../../../dashboard/model/times.ts";
import { inOrder, traceName } from "../../../../dashboard/model/trace-name.ts";
import { unitWord } from "../../../../dashboard/model/units.ts";
import { characteristic, flag, iso, noonMs, runAt } from "../wire-samples.ts";

const times = siteTimes("CET");

test("a figure has the digits of its instrument, a true minus, and no minus nought", () => {
  expect(figure(0.9004, 3)).toBe("0.900");
  expect(figure(-3.26, 1)).toBe("\u22123.3");
  expect(figure(-0.004, 2)).toBe("0.00");
  expect(counted(1, "flask")).toBe("1 flask");
  expect(counted(3, "batch")).toBe("3 batches");
});

test("bar says gauge or absolute only of a steam pressure", () => {
  expect(unitWord("bar", "gauge", "steam-pressure")).toBe("barg");
  expect(unitWord("bar", "absolute", "steam-pressure")).toBe("bara");
  expect(unitWord("Cel")).toBe("°C");
  expect([unitWord("g/dm2"), unitWord("bar.s")]).toEqual(["g/dm²", "bar·s"]);
  expect(unitWord("[g]", "rms", "vibration-acceleration")).toBe("g");
  expect(unitWord("1")).toBe("");
  expect(unitWord("g/kg")).toBe("g/kg");
});

test("times are the site's own, with its offset before and after the clocks change", () => {
  expect(times.clock(noonMs)).toBe("13:00:00");
  expect(times.offset(noonMs)).toBe("+01:00");
  expect(times.offset(Date.UTC(2026, 6, 1))).toBe("+02:00");
  expect(siteTimes("UTC").offset(noonMs)).toBe("+00:00");
  expect(times.near(noonMs - 60_000, noonMs)).toBe("12:59");
  expect(times.near(noonMs - 864e5, noonMs)).toBe("24 Nov 13:00");
  expect(times.near(noonMs - 365 * 864e5, noonMs)).toBe("25 Nov 13:00");
});

test("ages and waits never go below nought, and change their unit where a person would", () => {
  expect([-5, 22_000, 61_000, 3_600_000, 47 * 3_600_000, 48 * 3_600_000].map(ageWord)).toEqual([
    "0 s",
    "22 s",
    "1 min",
    "1 h",
    "47 h",
    "2 d",
  ]);
  expect([100_000, 725_000, 11_520_000, 187_200_000].map(waitWord)).toEqual(["1:40", "12:05", "3 h 12 min", "2 d 4 h"]);
  expect([45_000, 4_800_000].map(spanWord)).toEqual(["0:45", "1 h 20"]);
});

test("a run is named by when it began, with the day when that was not today", () => {
  expect(runStartMs("PR-01:20261125T080512345Z")).toBe(Date.UTC(2026, 10, 25, 8, 5, 12, 345));
  expect(runName("PR-01:20261125T080512345Z", "shot", times, noonMs)).toBe("shot 09:05:12");
  expect(runName("PR-01:20261124T080512345Z", "shot", times, noonMs)).toBe("shot 24 Nov 09:05");
  expect(runName("PR-01:0417", "shot", times, noonMs)).toBe("shot 0417");
});

test("a signal's id tells its run, chart, rule and side; anything else tells nothing", () => {
  expect(signalParts(`PR-01:mold.plateau@1/${runAt(0)}/spread/beyond-limit/above`)).toEqual({
    run: runAt(0),
    on: "spread",
    rule: "beyond-limit",
    side: "above",
  });
  expect(signalParts("nonsense")).toBeNull();
  expect(signalParts("a/b/elsewhere/rule/above")).toBeNull();
});

test("open flags stand by urgency, then those nobody has, then the one that waits longest", () => {
  const order = byUrgency([
    flag({ id: "review", label: "for-review" }),
    flag({ id: "fault", label: "instrument-fault" }),
    flag({ id: "look-taken", state: "taken" }),
    flag({ id: "look-late", foundAt: iso(noonMs + 1_000) }),
    flag({ id: "look" }),
    flag({ id: "act", label: "act-now", state: "taken" }),
  ]);
  expect(order.map((one) => one.id)).toEqual(["act", "look", "look-late", "look-taken", "fault", "review"]);
});

test("a flag's value is held against the line by its name", () => {
  expect(valueAgainst(flag(), characteristic())).toEqual({ value: "0.850", against: "low limit 0.870" });
  const centre = flag({ worst: { ...flag().worst, line: 0.9 } });
  expect(valueAgainst(centre, characteristic()).against).toBe("centre 0.900");
  const spec = flag({ worst: { ...flag().worst, line: 0.82, on: "specification" } });
  expect(valueAgainst(spec, characteristic()).against).toBe("spec from 0.820");
  const spread = flag({ worst: { ...flag().worst, line: 0.037, on: "spread" } });
  expect(valueAgainst(spread, null).against).toBe("moving range, high limit 0.037");
  const silent = flag({ worst: { ...flag().worst, line: null, value: null } });
  expect(valueAgainst(silent, null)).toEqual({ value: null, against: "" });
  expect(ruleWords(["beyond-limit", "nine-on-one-side"])).toBe(
    "Beyond a control limit and nine in a row on one side of the centre line",
  );
});

test("without its chart at hand, a flag's value tells which line it lies beyond, whatever its first signal was", () => {
  const first = { ...flag().first, side: "above" as const };
  const low = flag({ first, worst: { ...flag().worst, value: 0.827, line: 0.849 } });
  expect(valueAgainst(low, null).against).toBe("low limit 0.849");
  const cold = flag({ first, worst: { ...flag().worst, value: 716.2, line: 733, on: "specification" }, digits: 1 });
  expect(valueAgainst(cold, null).against).toBe("spec from 733.0");
  const wet = flag({ worst: { ...flag().worst, value: 0.69, line: 0.2, on: "specification" } });
  expect(valueAgainst(wet, null).against).toBe("spec to 0.200");
});

test("a closed flag's points are ringed without its colour", () => {
  expect(ringLabel(flag({ label: "act-now" }))).toBe("act-now");
  expect(ringLabel(flag({ label: "act-now", state: "done" }))).toBe("for-review");
  expect(ringLabel(undefined)).toBe("for-review");
});

test("missing limits are counted toward, or explained", () => {
  const too = characteristic({ limits: null, limitsMissing: { code: "too-few", detail: "x", needs: 25, has: 14 } });
  expect(missingLimits(too)).toBe("14 of 25 shots for trial limits");
  const other = characteristic({
    limits: null,
    limitsMissing: { code: "zero-variation", detail: "all values are equal" },
  });
  expect(missingLimits(other)).toBe("all values are equal");
  expect(missingLimits(characteristic())).toBeNull();
});

test("capability is stated with its interval, or not stated with the reason and its indices", () => {
  const cpk = { estimate: 1.283, lower: 1.04, upper: 1.524, confidence: 0.95 };
  const refusal = { code: "one-sided-specification", detail: "needs both limits" };
  const base = { n: 62, from: iso(noonMs - 864e5), to: iso(noonMs), cautions: [] };
  const stated = capabilityWords(
    characteristic({ capability: { ...base, cp: { refusal }, cpk, pp: { refusal }, ppk: cpk } }),
    times,
  );
  expect(stated.head).toBe("Cpk 1.28");
  expect(stated.indices[0]?.interval).toBe("between 1.04 and 1.52 (95 %)");
  expect(stated.reasons).toEqual(["Cp and Pp not stated: needs both limits."]);
  expect(stated.sentences).toContain("From 62 shots, 24 Nov 2026 to 25 Nov 2026.");
  const none = capabilityWords(characteristic(), times);
  expect(none.head).toBe("not stated");
  expect(none.reasons).toEqual(["No specification is set."]);
});

test("traces are named in words and stand in the order they are looked at", () => {
  expect(traceName("return-rh", "dryer-humidity")).toBe("Return humidity");
  expect(traceName("t2", "oven-temperature")).toBe("Position 2");
  expect(traceName("vibration-z.hf", "vibration-acceleration")).toBe("Vibration z 200 to 1,000 Hz band");
  expect(traceName("drive-hz", "drive-frequency")).toBe("Drive frequency");
  expect([traceName("chem-si", "content"), traceName("fines-dp", "")]).toEqual(["Silicon", "Fines pressure drop"]);
  // Levels stand before everything else, what they are made of at the end.
  const roles = ["motor-1", "vibration-x.rms", "vibration-x.f1", "vibration-z.rms", "vibration-z.peak"].map((role) => ({
    role,
  }));
  expect(inOrder(roles).map((one) => one.role)).toEqual([
    "vibration-z.rms",
    "vibration-x.rms",
    "motor-1",
    "vibration-z.peak",
    "vibration-x.f1",
  ]);
});
