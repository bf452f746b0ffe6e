import { expect, test } from "vitest";
import { chartPair } from "../../../../dashboard/model/chart-pair.ts";
import {
  chanceWords,
  pairWords,
  pointsWords,
  spreadTitle,
  subgroupWords,
  waitingWords,
} from "../../../../dashboard/model/chart-words.ts";
import { limitSentences, limitSetTitle } from "../../../../dashboard/model/limit-words.ts";
import { withFrame } from "../../../../dashboard/model/picture.ts";
import { pointWords } from "../../../../dashboard/model/point-words.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";
import { evidence } from "../../../../dashboard/model/why.ts";
import { characteristic, flag, floor, iso, limitSet, noonMs, point, runAt } from "../wire-samples.ts";

const times = siteTimes("CET");
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

test("a point names its spread, and a pattern that opens no flag is told at it", () => {
  const silenced = [{ rule: "nine-on-one-side", side: "above" as const }];
  const words = pointWords(point(3, 0.91, { members: whole, silenced }), flasks, new Map(), times, noonMs);
  expect(words).toContain("standard deviation 0.010");
  expect(words).toContain("nine in a row on one side of the centre line, not flagged");
});

test("what limits rest on is told in subgroups, with the price of both charts", () => {
  const said = limitSentences(limits, flasks, times).join(" ");
  expect(said).toContain("120 subgroups of 4 flasks");
  expect(said).toContain("within subgroups");
  expect(said).toContain(
    "chance alone flags once in 183 points: once in 370 by the upper chart alone, and the standard deviations below add the rest.",
  );
  expect(limitSetTitle(limits, flasks, times)).toContain("120 subgroups of 4 flasks");
  expect(chanceWords(limits, { ...flasks, chance: null })).toBeNull();
  const leaning = limitSet({ diagnostics: { ...limits.diagnostics, lag1: 0.5 } });
  expect(limitSentences(leaning, characteristic({ limits: leaning }), times).join(" ")).toContain(
    "no flag opens on it",
  );
});

test("why an average flagged names the average; a run outside its specification speaks for itself", () => {
  const id = `PR-01:mold.plateau/${runAt(1)}/specification/outside-specification/below`;
  const own = `${limits.id}/${runAt(3)}/location/beyond-limit/above`;
  const members = [member(0, 0.9), member(1, 0.5), member(2, 0.9), member(3, 0.9)];
  const here = point(3, 0.95, { members, signals: [id, own], flag: flag().id });
  const { sentences } = evidence(flag(), { characteristic: flasks, points: [here], times, now: noonMs });
  expect(sentences[0]).toContain("stood at 0.500");
  expect(sentences[1]).toContain("the average of 4 flasks stood at 0.950");
  expect(sentences.join(" ")).toContain("once in 183 points");
});

test("a pattern other than nine in a row is told by its own words, and its points are marked", () => {
  const rule = "two-of-three-beyond-two-sigma";
  const points = [0, 1, 2, 3].map((index) => point(index, 0.9 + 0.008 * index));
  points[3] = { ...points[3]!, flag: flag().id, signals: [`${limits.id}/${runAt(3)}/location/${rule}/above`] };
  const { sentences, used } = evidence(flag(), { characteristic: characteristic(), points, times, now: noonMs });
  expect(sentences[0]).toMatch(/^Two of three beyond two sigma on one side, up to/);
  expect(used).toEqual(new Set([1, 2, 3].map((index) => runAt(index))));
});

test("lines that differ from point to point are drawn step by step, and the lower line of s where it lies above nought", () => {
  const wide = { centre: 0.9, lower: 0.86, upper: 0.94 };
  const points = [point(0, 0.9), point(1, 0.91), point(2, 0.9)];
  points[1] = { ...points[1]!, location: { ...points[1]!.location, ...wide } };
  const spread = { value: 0.01, centre: 0.011, lower: 0.002, upper: 0.037, verdict: "within" as const };
  const drawn = chartPair(
    flasks,
    points.map((one) => ({ ...one, spread })),
    new Map(),
    new Set(),
    {
      ...{ width: 300, locationHeight: 200, spreadHeight: 100 },
    },
  );
  expect(drawn.location.phases).toHaveLength(3);
  expect(drawn.location.phases[0]!.to).toBeCloseTo(drawn.location.phases[1]!.from, 6);
  expect(drawn.spread.phases[0]!.lower).not.toBeNull();
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
