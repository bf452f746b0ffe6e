import { expect, test } from "vitest";
import type { FlagState } from "../../../../spc/flags/flag.ts";
import { noFlags } from "../../../../spc/flags/flag.ts";
import { applyEntries, applyEntry } from "../../../../spc/flags/fold.ts";
import { flagsInFloorOrder, flagsInListOrder } from "../../../../spc/flags/order.ts";
import type { EntryBody, Silence } from "../../../../spc/model/journal-entry.ts";
import type { Signal } from "../../../../spc/model/signal.ts";

const base: Signal = {
  id: "s1",
  characteristic: "PR-01:mold.plateau",
  station: "PR-01",
  run: "PR-01:r1",
  rule: "beyond-limit",
  side: "below",
  on: "location",
  limitSet: "PR-01:mold.plateau@1",
  members: ["PR-01:r1"],
  value: 0.9,
  line: 0.908,
  z: -5,
  atMs: 1000,
  flag: "f1",
  label: "look",
  doFirst: "Compare with the header",
  says: "plateau too low",
};
const signal = (change: Partial<Signal> = {}, late = false): EntryBody => ({
  kind: "signal",
  body: { signal: { ...base, ...change }, foundMs: 5000, late },
});
const taken = (flag: string, by: string, atMs = 6000): EntryBody => ({ kind: "taken", body: { flag, by, atMs } });
const done = (flag: string, atMs = 7000): EntryBody => ({
  kind: "done",
  body: { flag, by: "Mira", atMs, cause: "wet trap", note: "drained" },
});
const silence = (change: Partial<Silence> = {}): EntryBody => ({
  kind: "silence",
  body: {
    flag: "PR-01:silent:1",
    station: "PR-01",
    series: ["PR-01/pressure"],
    source: "GW-PR",
    wholeSource: false,
    sinceMs: 2000,
    foundMs: 5500,
    ...change,
  },
});
const fold = (...entries: EntryBody[]) => applyEntries(noFlags, entries);
const only = (...entries: EntryBody[]): FlagState => fold(...entries).get("f1")!;

test("the first signal opens a flag with all that a card needs", () => {
  const moment = {
    atMs: 1000,
    run: "PR-01:r1",
    value: 0.9,
    line: 0.908,
    side: "below",
    on: "location",
    z: -5,
  };
  expect(only(signal())).toEqual({
    id: "f1",
    number: 1,
    station: "PR-01",
    characteristic: "PR-01:mold.plateau",
    series: [],
    label: "look",
    doFirst: "Compare with the header",
    says: "plateau too low",
    state: "waiting",
    run: "PR-01:r1",
    runs: ["PR-01:r1"],
    signals: 1,
    rules: ["beyond-limit"],
    first: moment,
    last: moment,
    worst: moment,
    late: false,
    foundMs: 5000,
    cameBack: null,
    unseen: null,
    taken: null,
    done: null,
  });
});

test("later signals join: counted, with their runs and rules, the newest last and the farthest worst", () => {
  const flag = only(
    signal(),
    signal({ run: "PR-01:r2", z: -9, value: 0.884, atMs: 2000 }),
    signal({ run: "PR-01:r3", z: -4, value: 0.904, atMs: 3000 }),
    signal({ run: "PR-01:r3", rule: "nine-on-one-side", z: -4, value: 0.904, atMs: 3000, label: "for-review" }),
  );
  expect(flag).toMatchObject({
    run: "PR-01:r1",
    runs: ["PR-01:r1", "PR-01:r2", "PR-01:r3"],
    signals: 4,
    rules: ["beyond-limit", "nine-on-one-side"],
    first: { run: "PR-01:r1" },
    last: { run: "PR-01:r3" },
    worst: { run: "PR-01:r2", z: -9 },
  });
});

test("worst and last speak of specification before location before spread", () => {
  const flag = only(
    signal({ on: "spread", z: 8, value: 0.03, line: 0.0147 }),
    signal({ z: -3.2, value: 0.9072 }),
    signal({ run: "PR-01:r2", on: "spread", z: 12, value: 0.05, line: 0.0147, atMs: 2000 }),
  );
  expect(flag.worst).toMatchObject({ on: "location", z: -3.2 });
  expect(flag.last).toMatchObject({ run: "PR-01:r2", on: "spread" });
  const outside = { on: "specification", z: null, line: 0.88 } as const;
  const broken = only(
    signal({ ...outside, value: 0.87 }),
    signal({ ...outside, value: 0.85, run: "PR-01:r2", atMs: 2000 }),
    signal({ run: "PR-01:r2", z: -40, value: 0.85, atMs: 2000 }),
  );
  expect(broken.worst).toMatchObject({ value: 0.85, on: "specification", line: 0.88 });
  expect(broken.last).toMatchObject({ run: "PR-01:r2", on: "specification" });
});

test("a joining signal raises the label and brings its words, none lowers it", () => {
  const urgent = signal({ label: "act-now", doFirst: "Hold the next flask", says: "metal too cold" });
  const raised = { label: "act-now", doFirst: "Hold the next flask", says: "metal too cold" };
  expect(only(signal(), urgent)).toMatchObject(raised);
  expect(only(urgent, signal())).toMatchObject(raised);
});

test("the first take wins, and a second changes nothing", () => {
  const flag = only(signal(), taken("f1", "Mira", 6000), taken("f1", "Jonas", 6001));
  expect(flag).toMatchObject({ state: "taken", taken: { by: "Mira", atMs: 6000 } });
});

test("only done closes, once, taken or not; nothing opens the flag again", () => {
  const flag = only(signal(), taken("f1", "Mira"), done("f1", 7000), done("f1", 8000), taken("f1", "Jonas"));
  expect(flag).toMatchObject({
    state: "done",
    taken: { by: "Mira" },
    done: { by: "Mira", atMs: 7000, cause: "wet trap", note: "drained" },
  });
  expect(only(signal(), done("f1"))).toMatchObject({ state: "done", taken: null });
  expect(only(signal(), done("f1"), signal({ run: "PR-01:r9" })).state).toBe("done");
});

test("what concerns no flag, or one that was never opened, leaves the very same table", () => {
  const table = fold(signal());
  expect(applyEntry(table, taken("unknown", "Mira"))).toBe(table);
  expect(applyEntry(table, done("unknown"))).toBe(table);
  const applied: EntryBody = {
    kind: "applied",
    body: { entry: "e", characteristic: "PR-01:mold.plateau", afterRun: null },
  };
  expect(applyEntry(table, applied)).toBe(table);
});

test("the table given is left as it was", () => {
  const table = fold(signal());
  const before = structuredClone([...table]);
  applyEntries(table, [signal({ run: "PR-01:r2" }), done("f1")]);
  expect([...table]).toEqual(before);
});

test("a flag is late only while every signal of it was", () => {
  expect(only(signal({}, true)).late).toBe(true);
  expect(only(signal({}, true), signal({}, true)).late).toBe(true);
  expect(only(signal({}, true), signal({}, false)).late).toBe(false);
  expect(only(signal({}, false), signal({}, true)).late).toBe(false);
});

test("runs kept on a flag are the newest two hundred, and every signal is counted", () => {
  const entries = Array.from({ length: 300 }, (_, i) => signal({ run: `PR-01:r${i}`, atMs: i }));
  const flag = only(...entries);
  expect(flag.runs).toHaveLength(200);
  expect(flag.runs.at(0)).toBe("PR-01:r100");
  expect(flag.runs.at(-1)).toBe("PR-01:r299");
  expect(flag).toMatchObject({ run: "PR-01:r0", signals: 300 });
});

test("a silence opens an instrument's flag that says what to look at, and a later one joins it", () => {
  const table = fold(silence(), silence({ sinceMs: 9000 }));
  expect(table.get("PR-01:silent:1")).toMatchObject({
    label: "instrument-fault",
    characteristic: null,
    run: null,
    runs: [],
    signals: 2,
    says: "nothing from PR-01/pressure",
    series: ["PR-01/pressure"],
    first: { atMs: 2000, value: null },
    last: { atMs: 9000 },
    foundMs: 5500,
  });
  const whole = fold(silence({ wholeSource: true })).get("PR-01:silent:1")!;
  expect(whole.says).toBe("nothing from GW-PR");
  expect(whole.doFirst!.length).toBeLessThanOrEqual(80);
});

test("lists show open flags oldest first, then the last closed first; the floor the most urgent first", () => {
  const entries = [
    signal({ flag: "a", label: "for-review" }),
    signal({ flag: "b", label: "act-now" }),
    signal({ flag: "c", label: "look" }),
    signal({ flag: "d", label: "look" }),
    silence({ flag: "e" }),
    signal({ flag: "f", label: "act-now" }),
    done("b", 9000),
    done("a", 8000),
  ];
  const table = fold(...entries);
  expect(flagsInListOrder(table).map(({ id }) => id)).toEqual(["c", "d", "e", "f", "b", "a"]);
  expect(flagsInFloorOrder(table).map(({ id }) => id)).toEqual(["f", "c", "d", "e"]);
  expect(table.get("f")!.number).toBe(6);
});

test("of equally urgent signals the worst one speaks, so that words and value agree", () => {
  const near = signal({ id: "s1", side: "above", value: 0.95, z: 3.1, says: "plateau too high" });
  const far = signal({ id: "s2", run: "PR-01:r2", value: 0.8, z: -6, says: "plateau too low" });
  expect(only(near, far)).toMatchObject({ says: "plateau too low", worst: { value: 0.8 } });
  expect(only(far, near)).toMatchObject({ says: "plateau too low", worst: { value: 0.8 } });
});

const unseen = (flag: string, endedMs = 9000): EntryBody => ({
  kind: "unseen",
  body: { flag, station: "PR-01", shift: "night", endedMs, foundMs: endedMs + 500 },
});

test("a flag that comes back names the one before it and counts how often in a row; one without a mark is new", () => {
  const again = signal({ flag: "f2", run: "PR-01:r5", cameBackFrom: "f1" });
  const third = signal({ flag: "f3", run: "PR-01:r9", cameBackFrom: "f2" });
  const table = fold(signal(), done("f1"), again, done("f2"), third, signal({ flag: "f4" }));
  expect(table.get("f1")!.cameBack).toBeNull();
  expect(table.get("f2")!.cameBack).toEqual({ flag: "f1", number: 1, times: 1 });
  expect(table.get("f3")!.cameBack).toEqual({ flag: "f2", number: 2, times: 2 });
  expect(table.get("f4")!.cameBack).toBeNull();
});

test("unseen stays on a flag after it was taken and done, and says nothing of one that was taken before", () => {
  expect(only(signal(), unseen("f1"))).toMatchObject({ state: "waiting", unseen: { shift: "night", atMs: 9000 } });
  const later = only(signal(), unseen("f1"), taken("f1", "Early lead"), unseen("f1", 99_000), done("f1"));
  expect(later).toMatchObject({ state: "done", unseen: { shift: "night", atMs: 9000 } });
  expect(only(signal(), taken("f1", "Night lead"), unseen("f1")).unseen).toBeNull();
  expect(only(signal(), done("f1"), unseen("f1")).unseen).toBeNull();
  const table = fold(signal());
  expect(applyEntry(table, unseen("unknown"))).toBe(table);
});
