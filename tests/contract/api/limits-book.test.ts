import { afterEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { pressLimits } from "../../press-limits.ts";
import { ask, askProblem } from "./ask.ts";
import { limitsEntry, plateau, runAt, shotEntries, startMs } from "./press-entries.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

const book = (query = "") => ask(`${api.url}/api/limits${query}`, endpoints.limits.answer);
const set = (revision: number, effectiveFromMs: number) =>
  limitsEntry(pressLimits(plateau, { revision, effectiveFromMs, frozenAtMs: startMs + revision }));

test("sets stand newest first, and each says until when it ruled", async () => {
  const future = Date.now() + 3_600_000;
  api = await runningApi({
    before: ({ journal }) => void journal.append([set(1, startMs), set(2, startMs + 1_000), set(3, future)]),
  });
  const { items } = await book();
  const found = items.find(({ characteristic }) => characteristic.id === plateau);
  expect(found?.sets.map(({ revision, state }) => [revision, state])).toEqual([
    [3, "waiting"],
    [2, "working"],
    [1, "retired"],
  ]);
  expect(found?.sets.map(({ until }) => until)).toEqual([
    null,
    new Date(future).toISOString(),
    new Date(startMs + 1_000).toISOString(),
  ]);
  expect(found?.sets[1]).toMatchObject({
    proposedBy: "process engineer",
    agreedBy: "works manager",
    limits: { unit: "bar" },
  });
  expect(found?.missing).toBeNull();
});

test("what has no limits says how many runs it has of those it needs", async () => {
  api = await runningApi({
    before: ({ journal }) => void journal.append([0, 1, 2].flatMap((i) => shotEntries(i, 0.9))),
  });
  const { items } = await book();
  const found = items.find(({ characteristic }) => characteristic.id === plateau);
  expect(found).toMatchObject({ sets: [], missing: { has: 3, needs: 25 } });
  expect(runAt(2, 0).run.id).toContain("PR-01");
});

test("the book pages in the order of the settings, each characteristic once", async () => {
  api = await runningApi();
  const whole = (await book()).items.map(({ characteristic }) => characteristic.id);
  const paged: string[] = [];
  let next: string | null = null;
  do {
    const answer: Awaited<ReturnType<typeof book>> = await book(`?limit=7${next === null ? "" : `&after=${next}`}`);
    paged.push(...answer.items.map(({ characteristic }) => characteristic.id));
    next = answer.next;
  } while (next !== null);
  expect(paged).toEqual(whole);
  await askProblem(`${api.url}/api/limits?after=zzz`, 400);
});
