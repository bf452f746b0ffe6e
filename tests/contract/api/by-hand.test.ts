import { afterEach, beforeEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { handValues } from "../../../collector/pipeline/hand-values.ts";
import { byHandSettings } from "../../by-hand-settings.ts";
import { ask, askProblem, post } from "./ask.ts";
import { expectRecordToTell } from "./record-and-journal.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
beforeEach(async () => {
  api = await runningApi({ settings: byHandSettings() });
});
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

const takenAt = "2026-11-25T08:05:00.000Z";
const density = { feature: "bead.density", unit: "g/L", values: [22.1, 22, 21.9] };
const given = {
  station: "PR-01",
  by: "early-lead",
  pin: "3333",
  takenAt,
  context: { part: "OFW-2107" },
  values: [density],
};
const url = (path = ""): string => `${api.url}/api/by-hand${path}`;
const write = (change: object = {}) => ask(url(), endpoints.writeDown.answer, post({ ...given, ...change }));
const refused = (status: number, change: object) => askProblem(url(), status, post({ ...given, ...change }));
const id = "PR-01:bead.density:20261125T080500000Z";
/** What the pipeline does with it. */
const chart = (): void => {
  const { site, data } = api;
  data.journal.transaction(() => handValues(site, data.journal, () => undefined).advance(Date.now()));
  api.model.catchUp();
};

test("the book names every field with its unit, what is plausible, and what was written last", async () => {
  await write();
  const { stations } = await ask(url(), endpoints.handBook.answer);
  const presses = stations.filter(({ station }) => station.startsWith("PR-"));
  expect(presses.map(({ station }) => station)).toEqual(["PR-01", "PR-02", "PR-03", "PR-04"]);
  expect(presses[0]?.fields).toMatchObject([
    {
      ...{ feature: "bead.density", unit: "g/L", values: 3, plausible: { lower: 15, upper: 35 }, byPart: true },
      ...{ how: "Weigh a level litre three times", last: { values: [22.1, 22, 21.9], by: "Early lead", takenAt } },
    },
    { feature: "bead.moisture", plausible: null, how: null, last: null },
  ]);
});

test("values become runs and points on their chart, and the Run Sheet shows what was written", async () => {
  const { items } = await write({ note: "second sieve" });
  expect(items).toMatchObject([{ id, late: expect.any(Boolean), note: "second sieve", corrections: [] }]);
  chart();
  const points = await ask(
    `${api.url}/api/characteristics/PR-01:bead.density:OFW-2107/points`,
    endpoints.points.answer,
  );
  expect(points.items.map((point) => point.location.value)).toEqual([21.9, 22, 22.1]);
  const sheet = await ask(`${api.url}/api/runs/${items[0]?.runs[1]}`, endpoints.run.answer);
  expect(sheet).toMatchObject({ run: { station: "PR-01", imported: false }, byHand: [{ id }], traces: [] });
});

test("the same written twice is written once; other values for that time are to be a correction", async () => {
  await write();
  const entries = api.data.journal.lastSeq();
  expect((await write()).items).toMatchObject([{ id }]);
  expect(api.data.journal.lastSeq()).toBe(entries);
  const problem = await refused(409, { values: [{ ...density, values: [22.5] }] });
  expect(problem).toMatchObject({ code: "already-written" });
  expect(problem.detail).toContain("22.1");
});

test("a correction stands beside what was written, with its reason", async () => {
  await write();
  const body = { by: "late-lead", pin: "4444", values: [22.1, 22, 20.9], reason: "misread the scale" };
  const path = url(`/entries/${encodeURIComponent(id)}/correct`);
  const corrected = await ask(path, endpoints.correctWritten.answer, post(body));
  expect(corrected).toMatchObject({
    values: [22.1, 22, 21.9],
    corrections: [{ by: "Late lead", values: body.values, reason: body.reason }],
  });
  // Pressed twice, written once.
  expect((await ask(path, endpoints.correctWritten.answer, post(body))).corrections).toHaveLength(1);
  expectRecordToTell(api);
  const { items } = await ask(url("/entries?station=PR-01"), endpoints.written.answer);
  expect(items).toEqual([corrected]);
  expect(await askProblem(path, 400, post({ ...body, values: [22] }))).toMatchObject({ code: "bad-request" });
  const elsewhere = url("/entries/PR-01:bead.density:20200101T000000000Z/correct");
  expect(await askProblem(elsewhere, 404, post(body))).toMatchObject({ code: "unknown-value" });
});

test("an implausible value is asked about, and taken when it is so", async () => {
  const values = [{ ...density, values: [221] }];
  const problem = await refused(409, { values });
  expect(problem).toMatchObject({ code: "implausible" });
  expect(problem.errors).toMatchObject([{ place: "body/values/0/values", found: "221 g/L" }]);
  expect(api.data.journal.lastSeq()).toBe(0);
  expect((await write({ values, sure: true })).items).toMatchObject([{ values: [221] }]);
});

test("a unit that converts is converted; one that does not is refused", async () => {
  const { items } = await write({ values: [{ ...density, unit: "kg/L", values: [0.0221] }] });
  expect(items[0]?.values[0]).toBeCloseTo(22.1, 10);
  expect(items[0]?.unit).toBe("g/L");
  const problem = await refused(400, { values: [{ ...density, unit: "bar" }] });
  expect(problem.errors).toMatchObject([{ place: "body/values/0/unit", found: "bar" }]);
});

test.each<[string, object, string]>([
  ["a station without such values", { station: "AO-1" }, "body/station"],
  ["a station that is not there", { station: "XX" }, "body/station"],
  [
    "a feature that follows from readings",
    { values: [{ ...density, feature: "mold.plateau" }] },
    "body/values/0/feature",
  ],
  ["a feature twice", { values: [density, density] }, "body/values/1/feature"],
  ["more pieces than are measured", { values: [{ ...density, values: [1, 2, 3, 4] }] }, "body/values/0/values"],
  ["no part where charts are by part", { context: {} }, "body/context/part"],
  ["a time to come", { takenAt: "2099-01-01T00:00:00Z" }, "body/takenAt"],
  ["a time before there were any", { takenAt: "1970-01-01T00:00:00Z" }, "body/takenAt"],
  ["a run that is not there", { ofRun: "PR-01:20261125T080000000Z" }, "body/ofRun"],
  ["no name", { by: "" }, "body/by"],
  ["a number that is none", { values: [{ ...density, values: ["22,1"] }] }, "body/values/0/values/0"],
])("%s is refused with its place, and nothing is written", async (_, change, place) => {
  const problem = await refused(400, change);
  expect(problem.errors?.map((one) => one.place)).toContain(place);
  expect(api.data.journal.lastSeq()).toBe(0);
});

test("of two features in one entry, one mistake keeps both out", async () => {
  await refused(400, { values: [density, { feature: "bead.moisture", unit: "bar", values: [1] }] });
  expect(api.data.journal.lastSeq()).toBe(0);
});
