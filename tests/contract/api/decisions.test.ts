import { afterEach, beforeEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { as } from "./as.ts";
import { ask, askProblem, post } from "./ask.ts";
import { flagId, limitsEntry, plateau, runAt, shotEntries } from "./press-entries.ts";
import { expectRecordToTell } from "./record-and-journal.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
const crew = ["night-lead", "early-lead", "maintenance", "works-manager"];
const id = flagId(3);
const done = { cause: "steam supply", note: "header valve half shut" };
const flagUrl = (): string => `${api.url}/api/flags/${id}`;

beforeEach(async () => {
  api = await runningApi({
    before: ({ journal }) =>
      void journal.append([limitsEntry(), ...[0.9, 0.905, 0.9, 0.85, 0.84].flatMap((v, i) => shotEntries(i, v, id))]),
  });
});
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

const take = (by: string) => ask(`${flagUrl()}/take`, endpoints.take.answer, post({}, as(by)));
const night = as("night-lead");

test("two signals of one characteristic made one flag", async () => {
  const flag = await ask(flagUrl(), endpoints.flag.answer);
  expect(flag).toMatchObject({ state: "waiting", signals: 2, run: runAt(3, 0).run.id, taken: null, done: null });
  expect(flag.runs).toEqual([runAt(3, 0).run.id, runAt(4, 0).run.id]);
  expect(flag.worst).toMatchObject({ value: 0.84, line: 0.87, run: runAt(4, 0).run.id });
});

test("the first to take a flag has it; taking it again by the same name changes nothing", async () => {
  const taken = await take("night-lead");
  expect(taken).toMatchObject({ state: "taken", taken: { by: "Night lead" } });
  const entries = api.data.journal.lastSeq();
  expect(await take("night-lead")).toEqual(taken);
  expect(api.data.journal.lastSeq()).toBe(entries);
});

test("who comes second is told who was first, and nothing changes", async () => {
  const taken = await take("night-lead");
  const problem = await askProblem(`${flagUrl()}/take`, 409, post({}, as("works-manager")));
  expect(problem).toMatchObject({ code: "already-taken", flag: taken });
  expect(problem.detail).toContain("Night lead");
  expect(await ask(flagUrl(), endpoints.flag.answer)).toEqual(taken);
});

test("of two who take at the same moment exactly one has it", async () => {
  const answers = await Promise.all(crew.map((by) => fetch(`${flagUrl()}/take`, post({}, as(by)))));
  expect(answers.map(({ status }) => status).sort()).toEqual([200, 409, 409, 409]);
  const winner = answers.findIndex(({ status }) => status === 200);
  expect((await ask(flagUrl(), endpoints.flag.answer)).taken?.by).toBe(
    api.site.persons.find((one) => one.id === crew[winner])?.name,
  );
});

test("another process that took the flag a moment ago wins, though no announcement came", async () => {
  api.data.journal.append([
    {
      ...{ id: `${id}/taken`, station: "PR-01", subject: id, atMs: 1_000 },
      ...{ kind: "taken", body: { flag: id, by: "the other process", atMs: 1_000 } },
    },
  ]);
  const problem = await askProblem(`${flagUrl()}/take`, 409, post({}, night));
  expect(problem.flag?.taken?.by).toBe("the other process");
});

test("a flag is done with its cause, and who closes what nobody took has taken it", async () => {
  const flag = await ask(`${flagUrl()}/done`, endpoints.done.answer, post(done, night));
  expect(flag).toMatchObject({ state: "done", taken: { by: "Night lead" }, done: { by: "Night lead", ...done } });
  expect((await ask(`${api.url}/api/characteristics/${plateau}`, endpoints.characteristic.answer)).flag).toBeNull();
  const kinds = api.data.journal.read({ subject: id }).map(({ kind }) => kind);
  expect(kinds).toEqual(["taken", "done"]);
  expectRecordToTell(api, [limitsEntry().id]);
});

test("another than who took it may close it, and both names stay", async () => {
  await take("night-lead");
  const flag = await ask(`${flagUrl()}/done`, endpoints.done.answer, post({ cause: "trap" }, as("process-engineer")));
  expect(flag).toMatchObject({ taken: { by: "Night lead" }, done: { by: "Process engineer", note: "" } });
  expectRecordToTell(api, [limitsEntry().id]);
});

test("a done flag can neither be taken nor closed again", async () => {
  const flag = await ask(`${flagUrl()}/done`, endpoints.done.answer, post(done, night));
  const again = await askProblem(`${flagUrl()}/done`, 409, post(done, as("works-manager")));
  expect(again).toMatchObject({ code: "already-done", flag });
  expect(await askProblem(`${flagUrl()}/take`, 409, post({}, night))).toMatchObject({
    code: "already-done",
  });
  expect(await ask(flagUrl(), endpoints.flag.answer)).toEqual(flag);
});

test("closed flags are listed after open ones, and found by their state", async () => {
  await ask(`${flagUrl()}/done`, endpoints.done.answer, post(done, night));
  api.data.journal.append(shotEntries(9, 0.99));
  api.bus.announce("journal");
  await ask(`${api.url}/api/flags/${flagId(9)}`, endpoints.flag.answer);
  const listed = async (query: string): Promise<string[]> =>
    (await ask(`${api.url}/api/flags${query}`, endpoints.flags.answer)).items.map((flag) => flag.id);
  expect(await listed("")).toEqual([flagId(9), id]);
  expect(await listed("?state=open")).toEqual([flagId(9)]);
  expect(await listed("?state=done")).toEqual([id]);
});

test("asking with GET changes nothing, at the addresses of actions neither", async () => {
  const before = api.data.journal.lastSeq();
  const problem = await askProblem(`${flagUrl()}/take`, 405);
  expect(problem.detail).toContain("POST");
  for (const path of ["", "/done"]) await fetch(`${flagUrl()}${path}`);
  expect(api.data.journal.lastSeq()).toBe(before);
});

test("capability leaves out points whose flag was closed with a cause, and keeps the others", async () => {
  const one = async () => ask(`${api.url}/api/characteristics/${plateau}`, endpoints.characteristic.answer);
  expect((await one()).capability.n).toBe(5);
  await ask(`${flagUrl()}/done`, endpoints.done.answer, post(done, night));
  expect((await one()).capability.n).toBe(3);
});

test.each([
  ["no JSON", "application/json", "{", 400, "bad-json"],
  ["another type", "text/plain", '{"by":"x"}', 415, "not-json"],
  ["a form", "application/x-www-form-urlencoded", "by=x", 415, "not-json"],
  ["a name of nothing", "application/json", '{"by":"","pin":"1"}', 400, "bad-request"],
  ["an unknown word", "application/json", '{"cause":"y"}', 400, "bad-request"],
  ["a list", "application/json", "[]", 400, "bad-request"],
  ["an unknown character set", "application/json; charset=klingon", "{}", 415, "bad-encoding"],
  ["a body of 20 KB", "application/json", `{"by":"${"x".repeat(20_000)}"}`, 413, "body-too-large"],
])("a take with %s is refused", async (_words, type, body, status, code) => {
  const before = api.data.journal.lastSeq();
  const init = { method: "POST", body, headers: { "content-type": type, ...night } };
  expect((await askProblem(`${flagUrl()}/take`, status, init)).code).toBe(code);
  expect(api.data.journal.lastSeq()).toBe(before);
});

test.each([
  ["origin of another site", { origin: "http://elsewhere.example" }],
  ["origin of another port", { origin: "http://127.0.0.1:1" }],
  ["opaque origin", { origin: "null" }],
])("a page with the %s may change nothing", async (_words, headers) => {
  const problem = await askProblem(`${flagUrl()}/take`, 403, post({}, { ...night, ...headers }));
  expect(problem.code).toBe("foreign-origin");
  expect((await ask(flagUrl(), endpoints.flag.answer)).state).toBe("waiting");
});

test("our own page may, and so may who is no browser", async () => {
  const own = post({}, { ...night, origin: api.url });
  expect((await ask(`${flagUrl()}/take`, endpoints.take.answer, own)).state).toBe("taken");
});

test("a flag that is not there is not found", async () => {
  expect((await askProblem(`${api.url}/api/flags/none:such/take`, 404, post({}, night))).code).toBe("unknown-flag");
});
