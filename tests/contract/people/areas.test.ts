import { spawnSync } from "node:child_process";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { seedAccounts } from "../../../api/people/seed-accounts.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { openJournalFile } from "../../../collector/store/embedded/embedded-journal.ts";
import { nodeOptions } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { as } from "../api/as.ts";
import { ask, askProblem, post } from "../api/ask.ts";
import { type RunningApi, runningApi } from "../api/running-api.ts";

let api: RunningApi;
const by = { id: "elsewhere", name: "Somebody", role: "process-engineer", device: "a test" };

/** Of each kind of subject one at a press (stage Moulding) and one elsewhere, as the product names them. */
const rows: readonly (readonly [kind: string, subject: string, station: string])[] = [
  ["flag-taken", "PR-01:mold.plateau:20261125T060000000Z", "PR-01"],
  ["flag-done", "PR-01.pressure:fault:20261125T060000000Z", "PR-01"],
  ["flag-taken", "PR-01.pressure+PR-01.step:silence:20261125T060000000Z", "PR-01"],
  ["set-up-said", "PR-01", "PR-01"],
  ["limits-agreed", "PR-02:mold.plateau:OFW-2107", "PR-02"],
  ["flag-taken", "GW-PR:silence:20261125T060000000Z", "PR-01"],
  ["flag-taken", "DR-1:dry.residual:20261125T060000000Z", "DR-1"],
  ["flag-done", "DR-1.supply-rh:fault:20261125T060000000Z", "DR-1"],
  ["values-written", "DR-1", "DR-1"],
  ["limits-agreed", "PO-A:pour.stream", "PO-A"],
  // A name that only begins like one of the area is another one.
  ["set-up-said", "PR-011", "none"],
  ["settings-changed", "settings", "none"],
  ["runs-imported", "runs", "none"],
  ["account-changed", "visitor", "none"],
];

beforeAll(async () => {
  api = await runningApi();
  const { record } = api.data;
  for (const [kind, subject] of rows) record.append({ kind, subject, old: null, new: null, reason: "a trial", by });
  const own = { id: "early-lead", name: "Early lead", role: "shift-lead", device: "a test" };
  record.append({ kind: "flag-taken", subject: "DR-1:own:x", old: null, new: null, reason: "", by: own });
  record.append({ kind: "pin-set", subject: "early-lead", old: null, new: "set", reason: "", by: own });
});
afterAll(() => api.stop());
beforeEach(() => setAreas([]));

async function setAreas(areas: readonly string[]): Promise<void> {
  const body = { areas, reason: "another rota" };
  const { answer } = endpoints.changeAccount;
  const now = await ask(`${api.url}/api/accounts/early-lead`, answer, post(body, as("administrator")));
  expect(now.areas).toEqual(areas);
}

/** Subjects that one reads, oldest first. */
async function reads(account: string, query = ""): Promise<readonly string[]> {
  const found: string[] = [];
  for (let after = ""; ; ) {
    const url = `${api.url}/api/record?limit=5${query}${after}`;
    const { items, next } = await ask(url, endpoints.record.answer, { headers: as(account) });
    found.push(...items.filter(({ reason }) => reason !== "another rota").map(({ subject }) => subject));
    if (next === null) return found.reverse();
    after = `&after=${next}`;
  }
}

const process = rows.slice(0, -1).map(([, subject]) => subject);
const at = (...stations: readonly string[]): string[] =>
  rows.flatMap(([, subject, station]) => (stations.includes(station) ? [subject] : []));

test("a shift lead without areas reads what the record holds of the process, and no more", async () => {
  expect(await reads("early-lead")).toEqual([...process, "DR-1:own:x"]);
});

test("with a stage as area they read its stations' rows and their own, page by page and by every filter", async () => {
  await setAreas(["Moulding"]);
  const moulding = [...at("PR-01", "PR-02"), "DR-1:own:x"];
  expect(await reads("early-lead")).toEqual(moulding);
  expect(await reads("early-lead", "&subject=DR-1")).toEqual([]);
  expect(await reads("early-lead", "&kind=limits-agreed")).toEqual(["PR-02:mold.plateau:OFW-2107"]);
  expect(await reads("early-lead", "&kind=settings-changed")).toEqual([]);
  expect(await reads("early-lead", "&person=elsewhere")).toEqual(at("PR-01", "PR-02"));
  expect(await reads("early-lead", "&person=early-lead")).toEqual(["DR-1:own:x", "early-lead"]);
});

test("with one station they read that one's, and its gateway's; two areas add up", async () => {
  await setAreas(["PR-02"]);
  const gateway = "GW-PR:silence:20261125T060000000Z";
  expect(await reads("early-lead")).toEqual(["PR-02:mold.plateau:OFW-2107", gateway, "DR-1:own:x"]);
  await setAreas(["PO-A", "DR-1"]);
  expect(await reads("early-lead")).toEqual([...at("DR-1", "PO-A"), "DR-1:own:x"]);
});

test("an area narrows nobody who reads the whole record, and widens nobody", async () => {
  const { answer } = endpoints.changeAccount;
  for (const account of ["process-engineer", "visitor"]) {
    const body = { areas: ["Moulding"], reason: "another rota" };
    await ask(`${api.url}/api/accounts/${account}`, answer, post(body, as("administrator")));
  }
  expect(await reads("process-engineer", "&person=elsewhere")).toEqual(rows.map(([, subject]) => subject));
  expect(await reads("visitor")).toEqual([]);
});

test("an area that the settings do not name is refused, by its place and with what may stand there", async () => {
  for (const [path, more] of [
    ["/api/accounts/early-lead", {}],
    ["/api/accounts", { id: "moulder", name: "Moulder", role: "shift-lead" }],
  ] as const) {
    const body = { ...more, areas: ["Moulding", "Moulding shop"], reason: "another rota" };
    const problem = await askProblem(`${api.url}${path}`, 400, post(body, as("administrator")));
    expect(problem.errors).toMatchObject([{ place: "body/areas/1", found: "Moulding shop" }]);
    expect(problem.errors?.[0]?.expected).toMatch(/one of .*Moulding.*PR-01/);
  }
  expect(api.data.people.account("early-lead")?.areas).toEqual([]);
  expect(api.data.people.account("moulder")).toBeUndefined();
});

test("a change of areas stands in the record with what was before", async () => {
  await setAreas(["Moulding", "DR-1"]);
  const [row] = api.data.record.read({ subject: "early-lead", kinds: ["account-changed"], limit: 1 });
  expect(row).toMatchObject({ old: { areas: [] }, new: { areas: ["Moulding", "DR-1"] }, by: { id: "administrator" } });
  expect(api.data.record.verify()).toMatchObject({ ok: true });
});

test("by command as well: named, recorded, taken back, and refused where the settings do not name it", () => {
  const folder = temporaryFolder();
  const file = openJournalFile(folder.path);
  seedAccounts(file, api.site.persons, systemClock.nowMs());
  file.journal.close();
  const account = (...words: string[]) => {
    const place = ["--config", "simulator/ostrimvale.yaml", "--data", folder.path];
    return spawnSync(
      globalThis.process.execPath,
      [...nodeOptions, "dist/api/cli/main.js", "account", ...words, ...place],
      {
        encoding: "utf8",
      },
    );
  };
  expect(account("areas", "early-lead", "Moulding", "DR-1", "--reason", "another rota")).toMatchObject({
    ...{ status: 0, stdout: "early-lead: Moulding, DR-1\n" },
  });
  expect(account("list").stdout).toMatch(/^early-lead\t.*\tMoulding, DR-1$/m);
  expect(account("areas", "early-lead", "Nowhere", "--reason", "a slip")).toMatchObject({
    ...{ status: 2, stderr: expect.stringMatching(/areas\/0: found Nowhere, expected one of/) },
  });
  expect(account("areas", "early-lead", "Moulding")).toMatchObject({ status: 2 });
  expect(account("areas", "nobody-here", "--reason", "a slip")).toMatchObject({ status: 2 });
  expect(account("areas", "early-lead", "--reason", "back to all")).toMatchObject({
    ...{ status: 0, stdout: "early-lead: the whole plant\n" },
  });
  const { record, journal } = openJournalFile(folder.path);
  const changed = record.read({ kinds: ["account-changed"], limit: 9 });
  journal.close();
  expect(changed.map((row) => row.new)).toEqual([{ areas: [] }, { areas: ["Moulding", "DR-1"] }]);
  folder.remove();
});
