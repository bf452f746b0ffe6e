import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { as } from "./as.ts";
import { ask, askProblem, post } from "./ask.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
beforeAll(async () => {
  api = await runningApi();
}, 60_000);
afterAll(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

const from = "2026-11-25T08:05:00.000Z";
const given = { station: "PR-01", by: "early-lead", pin: "3333", from, words: { part: "OFW-2107", tool: "T-2107" } };
const url = (path = ""): string => `${api.url}/api/set-up${path}`;
const say = (change: object = {}) => ask(url(), endpoints.saySetUp.answer, post({ ...given, ...change }));
const refused = (status: number, change: object) => askProblem(url(), status, post({ ...given, ...change }));
const id = "PR-01:20261125T080500000Z";
const correctUrl = (of = id): string => url(`/entries/${encodeURIComponent(of)}/correct`);
const correction = { by: "late-lead", pin: "4444", words: { part: "OFW-2115" }, reason: "wrong card" };

test("the book names what can be set up where, with its choices, and what holds now", async () => {
  // Each test has a press of its own.
  await say({ station: "PR-02", words: { part: "OFW-2107", lot: "BL-A3001\u001d" } });
  const { stations } = await ask(url(), endpoints.setUpBook.answer);
  const press = stations.find(({ station }) => station === "PR-02")!;
  expect(press.words.map(({ key }) => key)).toEqual(["part", "tool", "cavity", "lot"]);
  expect(press.words[3]).toEqual({ key: "lot", name: "Bead lot", choices: [], prefix: "BL-" });
  expect(press.now).toEqual({
    part: { word: "OFW-2107", since: from, by: "Early lead" },
    lot: { word: "BL-A3001", since: from, by: "Early lead" },
  });
  expect(stations.find(({ station }) => station === "PR-04")?.now).toEqual({});
  expect(stations.some(({ station }) => station === "HD-1")).toBe(false);
});

test("a late word is marked, known from no place before the line has read it, and in the Change Record", async () => {
  expect(await say({ station: "PR-03", note: "after the break" })).toMatchObject({
    ...{
      id: id.replace("PR-01", "PR-03"),
      late: true,
      knownFrom: null,
      instead: null,
      replacedBy: null,
      note: "after the break",
    },
    words: given.words,
  });
  const { items } = await ask(`${api.url}/api/record`, endpoints.record.answer, { headers: as("process-engineer") });
  expect(items[0]).toMatchObject({ kind: "set-up-said", subject: "PR-03", new: { from, words: given.words } });
});

test("the same said twice is written once; other words for that time are to be a correction", async () => {
  await say();
  const entries = api.data.journal.lastSeq();
  expect(await say()).toMatchObject({ id });
  expect(api.data.journal.lastSeq()).toBe(entries);
  expect(await refused(409, { words: { part: "OFW-2115" } })).toMatchObject({ code: "already-written" });
});

test("a correction stands instead, with its reason, and only once; without words it takes back", async () => {
  await say();
  const corrected = await ask(correctUrl(), endpoints.correctSetUp.answer, post(correction));
  expect(corrected).toMatchObject({ instead: id, reason: "wrong card", by: "Late lead", words: { part: "OFW-2115" } });
  // Pressed twice, written once.
  expect(await ask(correctUrl(), endpoints.correctSetUp.answer, post(correction))).toMatchObject({ id: corrected.id });
  const other = { ...correction, words: { part: "OFW-2130" } };
  expect(await askProblem(correctUrl(), 409, post(other))).toMatchObject({ code: "already-corrected" });
  const { items } = await ask(url("/entries?station=PR-01"), endpoints.setUps.answer);
  expect(items.map((one) => [one.id, one.replacedBy])).toEqual([
    [corrected.id, null],
    [id, corrected.id],
  ]);
  const now = async () => (await ask(url(), endpoints.setUpBook.answer)).stations[0]!.now;
  expect(Object.keys(await now())).toEqual(["part"]);
  await ask(correctUrl(corrected.id), endpoints.correctSetUp.answer, post({ ...correction, words: {}, from }));
  expect(await now()).toEqual({});
  expect(await askProblem(correctUrl("PR-01:20200101T000000000Z"), 404, post(correction))).toMatchObject({
    code: "unknown-set-up",
  });
});

test.each<[string, object, string]>([
  ["a station where nothing is set up by hand", { station: "HD-1" }, "body/station"],
  ["a station that is not there", { station: "XX" }, "body/station"],
  ["a word that the settings do not have", { words: { mood: "good" } }, "body/words/mood"],
  ["a choice that is none", { words: { part: "OFW-9" } }, "body/words/part"],
  ["a time to come", { from: "2099-01-01T00:00:00Z" }, "body/from"],
  ["a time before there were any", { from: "1970-01-01T00:00:00Z" }, "body/from"],
  ["no word", { words: {} }, "body/words"],
  ["a word without end", { words: { lot: "B".repeat(61) } }, "body/words/lot"],
])("%s is refused with its place, and nothing is written", async (_, change, place) => {
  const problem = await refused(400, { station: "PR-04", ...change });
  expect(problem.errors?.map((one) => one.place)).toContain(place);
  expect(api.data.journal.read({ kinds: ["set-up"], station: "PR-04" })).toEqual([]);
});
