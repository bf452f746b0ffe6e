import { expect, test } from "vitest";
import { noFlags } from "../../../../spc/flags/flag.ts";
import { applyEntries, type FlagEntry } from "../../../../spc/flags/fold.ts";
import type { CommonCause, InstrumentNews } from "../../../../spc/model/journal-entry.ts";

const news: InstrumentNews = {
  flag: "PR-01.pressure:fault:1",
  station: "PR-01",
  series: "PR-01/pressure",
  role: "pressure",
  check: "stuck",
  state: "began",
  verdict: "fault",
  says: "read 0.431 bar 101 times in a row",
  sinceMs: 1_000,
  atMs: 6_000,
  foundMs: 7_000,
  late: false,
};
const instrument = (more: Partial<InstrumentNews> = {}): FlagEntry => ({
  kind: "instrument",
  body: { ...news, ...more },
});
const flagsAfter = (...entries: readonly FlagEntry[]) => [...applyEntries(noFlags, entries).values()];

test("a fault opens an instrument's flag with its evidence, from when it holds", () => {
  expect(flagsAfter(instrument())).toMatchObject([
    {
      id: news.flag,
      label: "instrument-fault",
      says: "pressure is stuck",
      evidence: "pressure read 0.431 bar 101 times in a row",
      first: { atMs: 1_000 },
      foundMs: 7_000,
      faultsOn: ["stuck"],
      faultOverMs: null,
      state: "waiting",
    },
  ]);
});

test("its end leaves the flag to a person, and says since when nothing is found", () => {
  const over = instrument({ state: "ended", atMs: 60_000, says: "its readings move again" });
  expect(flagsAfter(instrument(), over)).toMatchObject([{ state: "waiting", faultsOn: [], faultOverMs: 60_000 }]);
  expect(flagsAfter(instrument(), instrument({ check: "zero", sinceMs: 5_000 }), over)).toMatchObject([
    { faultsOn: ["zero"], faultOverMs: null, rules: ["stuck", "zero"], signals: 2 },
  ]);
});

test("an end without its beginning opens nothing", () => {
  expect(flagsAfter(instrument({ state: "ended" }))).toEqual([]);
});

test("every check has words that a phone can show, and something to do first", () => {
  const checks = [
    ...(["stuck", "clipped", "open-circuit", "loop-fault", "no-value", "short-circuit"] as const),
    ...(["spikes", "dropout", "zero", "peer-drift", "slow-probe", "below-least", "repeated"] as const),
  ];
  for (const check of checks) {
    const [flag] = flagsAfter(instrument({ check }));
    expect(flag?.says.length).toBeLessThanOrEqual(40);
    expect(flag?.doFirst?.length).toBeLessThanOrEqual(80);
  }
});

const child = (station: string, atMs: number): CommonCause => ({
  flag: "BO-1:common:1",
  feeder: "BO-1",
  name: "steam header BO-1",
  feeds: 4,
  of: "presses",
  doFirst: "Boiler first.",
  child: `${station}.pressure:fault:1`,
  station,
  atMs,
  label: "instrument-fault",
  foundMs: 9_000,
  late: false,
});
const opened = (station: string): FlagEntry =>
  instrument({ flag: `${station}.pressure:fault:1`, station, series: `${station}/pressure` });
const common = (station: string, atMs: number, more: Partial<CommonCause> = {}): FlagEntry => ({
  kind: "common",
  body: { ...child(station, atMs), ...more },
});

test("the first up is the one that began first, in whatever order they were found", () => {
  const flags = flagsAfter(
    ...["PR-02", "PR-03", "PR-01"].map(opened),
    ...[common("PR-02", 3_000), common("PR-03", 1_000), common("PR-01", 2_000)],
  );
  expect(flags.at(-1)).toMatchObject({
    station: "PR-03",
    says: "steam header BO-1: 3 of 4 presses",
    first: { atMs: 1_000 },
    last: { atMs: 3_000 },
    common: { children: [{ station: "PR-03" }, { station: "PR-01" }, { station: "PR-02" }] },
  });
  expect(flags.slice(0, 3).map(({ parent, state }) => [parent, state])).toEqual(
    new Array(3).fill(["BO-1:common:1", "waiting"]),
  );
});

test("the most urgent child gives the label, and a child keeps its own history", () => {
  const taken: FlagEntry = { kind: "taken", body: { flag: "PR-02.pressure:fault:1", by: "lead", atMs: 10_000 } };
  const flags = flagsAfter(
    ...[opened("PR-02"), opened("PR-03"), common("PR-02", 1_000), common("PR-03", 2_000, { label: "act-now" }), taken],
  );
  expect(flags.map(({ state, label }) => [state, label])).toEqual([
    ["taken", "instrument-fault"],
    ["waiting", "instrument-fault"],
    ["waiting", "act-now"],
  ]);
});

test("the header's own station stands under the flag and is none of the presses that it feeds", () => {
  const flags = flagsAfter(
    ...["PR-01", "PR-02", "PR-03", "PR-04", "HD-1"].map(opened),
    ...["PR-01", "PR-02", "PR-03", "PR-04"].map((station, i) => common(station, 1_000 * (i + 1))),
    common("HD-1", 9_000, { own: true }),
  );
  expect(flags.at(-1)).toMatchObject({ station: "PR-01", says: "steam header BO-1: all 4 presses" });
  expect(flags.at(-1)?.evidence).toMatch(/, PR-01 first: what they share rather than one of them, and HD-1 shows it$/);
  expect(flags[4]).toMatchObject({ station: "HD-1", parent: "BO-1:common:1" });
});

test("told twice, a child counts once", () => {
  const flags = flagsAfter(opened("PR-02"), common("PR-02", 1_000), common("PR-02", 1_000));
  expect(flags.at(-1)).toMatchObject({ signals: 1, common: { children: [{ station: "PR-02" }] } });
});
