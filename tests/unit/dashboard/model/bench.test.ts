import fc from "fast-check";
import { expect, test } from "vitest";
import { readCsv } from "../../../../api/cli/csv.ts";
import type { WireBench } from "../../../../api/contract/bench-wire.ts";
import { type BenchAddress, benchAddress, benchSearch, plainBench } from "../../../../dashboard/model/bench-address.ts";
import { benchCsv, csvCell } from "../../../../dashboard/model/bench-csv.ts";
import { benchPair } from "../../../../dashboard/model/bench-pair.ts";
import { benchPicture } from "../../../../dashboard/model/bench-picture.ts";
import {
  flagAsked,
  flagsShown,
  judgedWords,
  needWords,
  pointWords,
  uncertaintySentence,
  whySentences,
  wordingOf,
} from "../../../../dashboard/model/bench-words.ts";
import { fromField, toField } from "../../../../dashboard/model/bench-zoned.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { flag, iso, limitSet, noonMs, point, runAt } from "../wire-samples.ts";

const times = siteTimes("CET");
const size = { width: 800, locationHeight: 300, spreadHeight: 100, margins: { left: 50, right: 128 } };
const none = { refusal: { code: "no-specification", detail: "no specification is set" } };

/** Twelve points, of which 3 to 11 lie above the centre: the last completes a row of nine. */
function bench(over: Partial<WireBench> = {}): WireBench {
  const points = Array.from({ length: 12 }, (_, at) => ({ ...point(at, at < 3 ? 0.895 : 0.91), anew: at === 0 }));
  const one = flag({ rules: ["nine-on-one-side"], run: runAt(11) });
  const set = limitSet();
  points[11] = { ...points[11]!, flag: one.id, signals: ["x"] };
  return {
    now: iso(noonMs + 36e5),
    characteristic: {
      ...{ id: "PR-01:mold.plateau", station: "PR-01", stage: "Moulding", line: "white", name: "plateau", part: null },
      ...{ unit: "bar", digits: 3, runWord: "shot" },
    },
    charts: ["individuals", "moving-range"],
    ...{ chart: "individuals", subgroup: 1 },
    quantity: "steam-pressure",
    reference: "gauge",
    specification: null,
    everyMs: 60_000,
    span: { from: null, to: null, leftOff: false },
    phases: [
      {
        ...{ limits: set, imported: false, points: 12 },
        from: { run: runAt(0), at: points[0]!.at },
        to: { run: runAt(11), at: points[11]!.at },
      },
    ],
    points,
    gaps: [],
    exclusions: [],
    flags: [one],
    signals: [
      {
        ...{ id: "x", rule: "nine-on-one-side", on: "location", side: "above", run: runAt(11) },
        members: Array.from({ length: 9 }, (_, at) => runAt(at + 3)),
        ...{ value: 0.91, line: 0.9, z: 1, flag: one.id, limitSet: set.id },
      },
    ],
    change: null,
    causes: [],
    chance: null,
    cautions: [],
    stale: [],
    price: [],
    pointsAWeek: 100,
    capability: { n: 0, from: null, to: null, cp: none, cpk: none, pp: none, ppk: none, cautions: [] },
    limits: set,
    missing: null,
    proposals: [],
    ...over,
  };
}

const instants = fc
  .tuple(fc.integer({ min: 0, max: 2 ** 41 }), fc.integer({ min: 1, max: 2 ** 35 }))
  .map(([from, long]) => ({ from: iso(from), to: iso(from + long) }));
const said = fc.string({ minLength: 1, maxLength: 40 }).map((text) => `x${text.trim()}`);
const trials = fc.record({
  window: fc.oneof(
    instants,
    fc.integer({ min: 1, max: 1_000 }).map((last) => ({ last })),
  ),
  basis: fc.constantFrom("chart" as const, "overall" as const),
  rules: fc.option(fc.subarray([...ruleIds], { minLength: 1 })),
  leftOut: fc.uniqueArray(fc.record({ run: said, cause: said, evidence: said, action: said }), {
    maxLength: 4,
    selector: ({ run }) => run,
  }),
});
const addresses: fc.Arbitrary<BenchAddress> = fc.record({
  span: fc.option(instants),
  flag: fc.option(said),
  trial: fc.option(trials),
});

test("whatever a Bench shows comes back from its own address", () => {
  fc.assert(
    fc.property(addresses, (address) => {
      expect(benchAddress(benchSearch(address))).toEqual(address);
    }),
  );
});

test("an address that makes no sense shows the newest points and no trial", () => {
  for (const search of [
    "",
    "?from=x&to=y",
    "?from=2026-11-25&to=2026-11-24",
    "?last=0",
    "?last=1e9",
    "?base-from=x&base-to=",
  ]) {
    expect(benchAddress(search), search).toEqual(plainBench);
  }
  const cut = benchAddress('?last=50&without=["r1","cause","evid&without=["r2","cause","",""]&rules=no-such');
  expect(cut.trial).toMatchObject({ leftOut: [], rules: null });
});

test("a field on the site's clock gives the instant back, on both sides of a clock change", () => {
  for (const at of [
    "2026-01-15T12:00:00.000Z",
    "2026-07-15T12:00:00.000Z",
    "2026-03-29T00:59:59.000Z",
    "2026-03-29T01:00:00.000Z",
  ]) {
    expect(fromField(toField(at, "CET"), "CET"), at).toBe(at);
  }
  expect(toField("2026-07-15T12:00:00.000Z", "CET")).toBe("2026-07-15T14:00:00");
  expect(fromField("yesterday", "CET")).toBeNull();
});

test("words that a spreadsheet takes for a formula are neutralised, numbers stay numbers", () => {
  expect(["=1+1", "+x", "-x", "@x", "\tx", 'say "so", please'].map(csvCell)).toEqual([
    ...["'=1+1", "'+x", "'-x", "'@x", "'\tx", '"say ""so"", please"'],
  ]);
  expect([-3.2, 0.1 + 0.2, 1e-7, null].map(csvCell)).toEqual(["-3.2", "0.30000000000000004", "1e-7", ""]);
});

test("CSV of a chart reads back to the same numbers, also a negative one, and with the words that were typed", async () => {
  const points = [point(0, -3.2), point(1, 0.1 + 0.2), point(2, null)].map((one) => ({ ...one, anew: false }));
  const exclusions = [{ run: runAt(1), cause: '=HYPERLINK("x")', limitSet: limitSet().id }];
  const records: (readonly string[])[] = [];
  for await (const { fields } of readCsv([benchCsv(bench({ points, exclusions }))])) records.push(fields);
  const [head, ...rows] = records;
  const column = (name: string): readonly (string | undefined)[] => rows.map((row) => row[head!.indexOf(name)]);
  expect(column("value").map((text) => (text === "" ? null : Number(text)))).toEqual([-3.2, 0.1 + 0.2, null]);
  expect(column("left out because")).toEqual(["", '\'=HYPERLINK("x")', ""]);
  expect(column("no value because")[2]).toBe("no value");
});

test("a row that signals is one bracket over all its points, with its sentence, and its flag's number stands once", () => {
  const given = bench();
  const longer = {
    ...given.signals[0]!,
    id: "y",
    run: runAt(12),
    members: given.signals[0]!.members.map((_, at) => runAt(at + 4)),
  };
  const points = [...given.points, { ...point(12, 0.91), anew: false, flag: given.flags[0]!.id, signals: ["y"] }];
  const picture = benchPicture({ ...given, points, signals: [...given.signals, longer] }, null, times, (run) => run);
  expect(picture.patterns).toEqual([
    { on: "location", side: "above", from: 3, to: 12, text: "10 in a row above the centre line" },
  ]);
  const pair = benchPair(picture, size);
  expect(pair.location.brackets).toHaveLength(1);
  expect(pair.location.dots.filter(({ number }) => number !== null).map(({ index }) => index)).toEqual([12]);
  expect(pair.location.dots.filter(({ ring }) => ring !== null).map(({ index }) => index)).toEqual([11, 12]);
  expect(pair.spread.dots.every(({ ring }) => ring === null)).toBe(true);
});

test("no line is drawn to a point that begins anew, nor across a missing value, nor from imported to streamed runs", () => {
  const points = [
    { ...point(0, 0.9), anew: false, imported: true },
    { ...point(1, 0.9), anew: false, imported: true },
    { ...point(2, 0.9), anew: false },
    { ...point(3, null), anew: false },
    { ...point(4, 0.9), anew: false },
    { ...point(5, 0.9), anew: true },
  ];
  const pair = benchPair(
    benchPicture(bench({ points, signals: [], phases: [], limits: null }), null, times, (run) => run),
    size,
  );
  expect(pair.location.path.match(/M/g)).toHaveLength(4);
  expect(pair.location.phases).toEqual([]);
});

test("a left-out run is crossed; limits that no point has met are drawn after the newest, at 20 % and 80 %", () => {
  const next = limitSet({ id: "PR-01:mold.plateau@2", revision: 2, effectiveFrom: iso(noonMs + 11 * 60_000 + 45_001) });
  const given = bench({ limits: next, exclusions: [{ run: runAt(1), cause: "valve", limitSet: next.id }] });
  const pair = benchPair(
    benchPicture(given, null, times, (run) => run),
    size,
  );
  expect(pair.location.dots[1]!.look).toBe("excluded");
  expect(pair.names.map(({ name }) => name?.text.slice(0, 16))).toEqual(["Working limits 1", "Working limits 2"]);
  const [old, fresh] = pair.location.phases;
  expect(fresh!.from).toBeGreaterThan(pair.x(11));
  expect(old!.to).toBeLessThan(fresh!.from);
  expect([fresh!.upper!.y, fresh!.lower!.y].map(Math.round)).toEqual([60, 240]);
});

test("one point, or none, is drawn without a number that is none", () => {
  for (const points of [[], [{ ...point(0, 0.9), anew: false }], [{ ...point(0, null), anew: false }]]) {
    const pair = benchPair(
      benchPicture(bench({ points, signals: [], phases: [], limits: null }), null, times, (run) => run),
      size,
    );
    expect(JSON.stringify(pair)).not.toMatch(/NaN|Infinity/);
    expect(pair.location.path).not.toMatch(/NaN/);
    expect(pair.nearest(400)).toBe(points.length === 0 ? -1 : 0);
  }
});

test("why it flagged names the row, the line, since when, and what chance does", () => {
  const given = bench({
    price: [
      {
        ...{ rule: "nine-on-one-side", on: true, taken: true, onceIn: 511.2 },
        ...{ withIt: 0.5, withoutIt: 0.3, standardError: null, pairWithIt: 0.6, pairWithoutIt: 0.4 },
      },
    ],
  });
  expect(whySentences(given, given.flags[0]!, wordingOf(given, times))).toEqual([
    "9 in a row above the centre line 0.900\u202fbarg, up to shot 13:11:00, in force since 24 Nov 2026.",
    "Chance alone gives nine in a row on one side of the centre line about once in 511 points.",
  ]);
});

const member = (index: number, value: number | null) => ({ run: runAt(index), at: iso(noonMs + index * 6e4), value });

/** Averages of four: the newest is too high, and one of its runs lies outside its specification. */
function averages(over: Partial<WireBench> = {}): WireBench {
  const one = flag();
  const members = [member(0, 0.9), member(1, 0.5), member(2, 0.9), member(3, null)];
  const here = { ...point(3, 0.95, { members, signals: ["own", "run"], flag: one.id }), anew: true };
  const signal = { side: "above" as const, flag: one.id, limitSet: limitSet().id, z: 4 };
  return bench({
    ...{ chart: "averages-with-s", subgroup: 4, points: [here], flags: [one] },
    signals: [
      {
        ...{ ...signal, id: "run", rule: "outside-specification", on: "specification", run: runAt(1) },
        ...{ side: "below" as const, members: [runAt(1)], value: 0.5, line: 0.82 },
      },
      {
        ...{ ...signal, id: "own", rule: "beyond-limit", on: "location", run: runAt(3) },
        ...{ members: [runAt(3)], value: 0.95, line: 0.93 },
      },
    ],
    ...over,
  });
}

test("why an average flagged names the average; a run outside its specification speaks for itself", () => {
  const given = averages();
  const say = wordingOf(given, times);
  expect(say.subgroup).toBe(4);
  const spread = { ...given.signals[1]!, on: "spread" as const };
  const because = (signals: WireBench["signals"]): string | undefined =>
    whySentences({ ...given, signals }, given.flags[0]!, say)[0];
  expect(because(given.signals)).toMatch(/^Shot 13:01:00 stood at 0\.500.*below the specification 0\.820/);
  expect(because(given.signals.slice(1))).toMatch(/^Up to shot 13:03:00 the average of 4 shots stood at 0\.950/);
  expect(because([spread])).toMatch(/^Up to shot 13:03:00 the standard deviation within the subgroup was/);
});

test("a point and its cell say how many runs of a subgroup gave a value, and which pattern opens no flag", () => {
  const silenced = [{ rule: "nine-on-one-side", side: "above" as const }];
  const given = averages();
  const one = { ...given.points[0]!, silenced };
  const words = pointWords(given, one, wordingOf(given, times));
  for (const part of ["standard deviation 0.010", "3 of 4 shots gave a value", "centre line, not flagged", "flag 7"]) {
    expect(words).toContain(part);
  }
  expect(judgedWords(given, one)).toBe(
    "above; 3 of 4 shots gave a value; nine in a row on one side of the centre line, not flagged",
  );
  expect(judgedWords(given, { ...one, location: { ...one.location, value: null } })).toBe("not judged");
});

test("a pattern that opens no flag is bracketed over all its points and says so", () => {
  const points = bench().points.map((one) => ({ ...one, signals: [], flag: null }));
  points[5] = { ...points[5]!, location: { ...points[5]!.location, value: null } };
  for (const at of [10, 11]) {
    points[at] = { ...points[at]!, silenced: [{ rule: "nine-on-one-side", side: "above" }] };
  }
  const picture = benchPicture(bench({ points, signals: [], flags: [] }), null, times, (run) => run);
  expect(picture.patterns).toEqual([
    { on: "location", side: "above", from: 3, to: 11, text: "8 in a row above the centre line, no flag" },
  ]);
});

test("lines that differ from point to point are drawn step by step under one name", () => {
  const given = bench();
  const wide = { centre: 0.9, lower: 0.86, upper: 0.94 };
  const points = [...given.points];
  points[1] = { ...points[1]!, location: { ...points[1]!.location, ...wide } };
  points[4] = { ...points[4]!, spread: { ...points[4]!.spread, lower: 0.002 } };
  const pair = benchPair(
    benchPicture({ ...given, points }, null, times, (run) => run),
    size,
  );
  expect(pair.location.phases).toHaveLength(5);
  expect(pair.location.phases[0]!.to).toBeCloseTo(pair.location.phases[1]!.from, 6);
  expect(pair.location.phases[1]!.upper!.text).toBe("0.940");
  expect(pair.spread.phases.map(({ lower }) => lower !== null)).toEqual([false, false, false, true, false]);
  expect(pair.names).toHaveLength(1);
  expect(new Set(pair.location.phases.map(({ key }) => key)).size).toBe(5);
});

test("each limit in force carries a bar of how far it may be off, said in words; not where neighbours depend on each other", () => {
  const given = bench();
  const drawn = (one: WireBench) =>
    benchPair(
      benchPicture(one, null, times, (run) => run),
      size,
    ).location;
  const { bars, edges } = drawn(given);
  expect(bars).toHaveLength(2);
  const high = edges.find(({ word }) => word === "high limit")!;
  expect((bars[0]!.from + bars[0]!.to) / 2).toBeCloseTo(high.y, 6);
  const set = given.limits!;
  expect(uncertaintySentence(set, wordingOf(given, times))).toMatch(
    /^So many points fix each limit to within 0\.00\d+\s?bar/,
  );
  const leaning = { ...set, diagnostics: { ...set.diagnostics, cautions: ["autocorrelated"] } };
  expect(uncertaintySentence(leaning, wordingOf(given, times))).toBeNull();
  expect(drawn({ ...given, limits: leaning }).bars).toEqual([]);
});

test("ticks are no finer than the figures that are written, so that no two say the same", () => {
  const given = bench();
  const same = { value: 1, centre: null, lower: null, upper: null };
  const points = given.points.map((one) => ({ ...one, location: { ...one.location, ...same } }));
  const drawn = { ...given, points, phases: [], limits: null, flags: [], signals: [] };
  const coarse = { ...drawn, characteristic: { ...given.characteristic, digits: 1 } };
  const { location } = benchPair(
    benchPicture(coarse, null, times, (run) => run),
    size,
  );
  const texts = location.ticks.map(({ text }) => text);
  expect(texts.length).toBeGreaterThan(0);
  expect(new Set(texts).size).toBe(texts.length);
});

test("a flag that is done stands above its chart when it is asked for, before the one that is open", () => {
  const closed = flag({ id: "a", state: "done" });
  const open = flag({ id: "b" });
  const given = bench({ flags: [closed, open] });
  expect(flagsShown(given, flagAsked(given, "a")).map(({ id }) => id)).toEqual(["a", "b"]);
  expect(flagsShown(given, flagAsked(given, null)).map(({ id }) => id)).toEqual(["b"]);
});

test("a row of the list ends with what makes it need a look", () => {
  const item = {
    characteristic: bench().characteristic,
    ...{ need: "none" as const, flag: null, signalsLastWeek: 0, stale: [], missing: null, ruler: [], proposals: 0 },
    limits: { ...limitSet().location, id: "x", revision: 1 },
    latest: { run: runAt(0), at: iso(noonMs), value: 0.92, verdict: "within" as const, z: 2 },
  };
  expect(needWords(item)).toBe("1.0 σ");
  expect(needWords({ ...item, need: "signals", signalsLastWeek: 3 })).toBe("3 signals");
  expect(needWords({ ...item, limits: null, missing: { has: 14, needs: 25 }, need: "without-limits" })).toBe(
    "14 of 25",
  );
  expect(needWords({ ...item, limits: null, missing: { has: 240, needs: 25 }, need: "without-limits" })).toBe(
    "no limits",
  );
  expect(needWords({ ...item, latest: null })).toBe("no news");
});
