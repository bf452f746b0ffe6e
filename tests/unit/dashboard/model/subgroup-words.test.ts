import { expect, test } from "vitest";
import {
  pairWords,
  pointsWords,
  spreadTitle,
  subgroupWords,
  waitingWords,
} from "../../../../dashboard/model/chart-words.ts";
import { withFrame } from "../../../../dashboard/model/picture.ts";
import { characteristic, floor, iso, limitSet, noonMs, point, runAt } from "../wire-samples.ts";

const scheme = { runs: 4, sigma: 0.02, sigmaWithin: 0.02 };
const limits = limitSet({ charts: ["average", "standard-deviation"], scheme, estimator: "mean-s" });
const flasks = characteristic({
  ...{ chart: "averages-with-s", subgroup: 4, runWord: "flask", limits },
  chance: { location: 370.4, pair: 183.2, method: "exact" },
});
const member = (index: number, value: number | null) => ({
  run: runAt(index),
  at: iso(noonMs + index * 60_000),
  value,
});
const whole = [0, 1, 2, 3].map((index) => member(index, 0.9));

test("a chart says what is plotted, how many runs make a point, and what the next one waits for", () => {
  expect(pairWords(characteristic())).toBe("individuals with moving range");
  expect(pairWords(flasks)).toBe("averages of 4 flasks with standard deviation");
  const ewma = characteristic({ chart: "ewma" });
  expect(pairWords(ewma)).toBe("weighted mean (EWMA) of shots with moving range");
  expect(spreadTitle(flasks)).toEqual([
    "Spread: standard deviation, within each 4 flasks",
    "Spread: standard deviation",
  ]);
  expect(spreadTitle(ewma)[0]).toBe("Spread: moving range, each run against the one before");
  expect(pointsWords(ewma)).toBe("one point a shot");
  expect(pointsWords({ ...ewma, runWord: "hour" })).toBe("one point an hour");
  expect(pointsWords(flasks)).toBe("one point for 4 flasks");
  const waiting = [member(4, 0.9), member(5, 0.9), member(6, 0.9)];
  expect(waitingWords({ ...flasks, waiting })).toBe("3 of 4 flasks are in: the next point waits for 1 more");
  expect(waitingWords(flasks)).toBeNull();
  expect(waitingWords(characteristic({ waiting }))).toBeNull();
});

test("a subgroup that is not full says how many runs it has and why", () => {
  expect(subgroupWords(point(3, 0.9, { members: whole }), flasks)).toEqual([]);
  const cut = point(1, 0.9, { members: whole.slice(0, 2), shortBy: "gap" });
  expect(subgroupWords(cut, flasks)).toEqual(["2 flasks of 4, cut short by a silence"]);
  const lacking = point(3, 0.9, { members: [member(0, null), ...whole.slice(1)] });
  expect(subgroupWords(lacking, flasks)).toEqual(["3 of 4 flasks gave a value"]);
});

test("runs that have become part of a point no longer wait", () => {
  const waiting = [member(0, 0.9), member(1, 0.9)];
  const picture = {
    ...{ floor: floor({ characteristics: [{ characteristic: { ...flasks, waiting }, points: [] }] }) },
    ...{ flags: new Map(), seq: 1 },
  };
  const frame = { type: "changes", now: iso(noonMs), seq: 2, points: [point(3, 0.9)], flags: [], limits: [] } as const;
  const next = withFrame(picture, { ...frame, points: [...frame.points], flags: [], limits: [] });
  expect(next.floor.characteristics[0]!.characteristic.waiting).toEqual([]);
});
