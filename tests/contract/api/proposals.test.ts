import { afterEach, beforeAll, beforeEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { hashPin } from "../../../api/people/pin.ts";
import type { PersonSettings } from "../../../collector/platform/settings/people-schema.ts";
import { runEntry } from "../../../collector/store/entries.ts";
import type { Role } from "../../../spc/model/role.ts";
import { normals } from "../../property/spc/seeded.ts";
import { ask, askProblem, post } from "./ask.ts";
import { limitsEntry, plateau, runAt, shotEntries, startMs } from "./press-entries.ts";
import { expectRecordToTell } from "./record-and-journal.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let persons: readonly PersonSettings[];
let api: RunningApi;

beforeAll(async () => {
  const person = async (id: string, name: string, role: Role, pin?: string): Promise<PersonSettings> => ({
    ...{ id, name, role, labels: [], hours: "always" },
    ...(pin === undefined ? {} : { pin: await hashPin(pin) }),
  });
  persons = [
    await person("pe", "Process engineer", "process-engineer", "4711"),
    await person("wm", "Works manager", "works-manager", "0815"),
    await person("el", "Early lead", "shift-lead", "2222"),
    await person("se", "Second engineer", "process-engineer", "3333"),
    await person("np", "Night lead", "shift-lead"),
  ];
});

const next = normals(5);
const values = Array.from({ length: 60 }, (_, i) => (i === 30 ? 0.97 : 0.9 + 0.01 * next()));
const runs = values.map((value, i) => runAt(i, value));
const window = { from: new Date(startMs).toISOString(), to: new Date(startMs + 24 * 3_600_000).toISOString() };
const cause = { cause: "steam supply", evidence: "the header fell at the same time", action: "valve repaired" };
const exclusions = [{ run: runs[30]!.run.id, ...cause }];

beforeEach(async () => {
  api = await runningApi({ persons, before: ({ journal }) => void journal.append(runs.map((run) => runEntry(run))) });
});
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

const chart = (): string => `${api.url}/api/characteristics/${plateau}`;
const trial = (body: object = {}) => ask(`${chart()}/trial`, endpoints.trial.answer, post({ window, ...body }));
const proposals = (): string => `${api.url}/api/proposals`;
const reason = "a quiet day after the valve was repaired";

async function proposeBody(change: object = {}) {
  const { fingerprint } = await trial({ exclusions });
  return { characteristic: plateau, window, exclusions, fingerprint, by: "pe", pin: "4711", reason, ...change };
}
const propose = async (change: object = {}) =>
  ask(proposals(), endpoints.propose.answer, post(await proposeBody(change)));
const agree = (id: string, by: string, pin: string) =>
  ask(`${proposals()}/${id}/agree`, endpoints.agree.answer, post({ by, pin }));
const limitEntries = () => api.data.journal.read({ kinds: ["limits"], subject: plateau });

test("a trial writes nothing and shows both choices side by side", async () => {
  const seq = api.data.journal.lastSeq();
  const first = await trial();
  expect(first.revised).toBeNull();
  expect(first.points).toHaveLength(60);
  expect(first.trial).toMatchObject({ restsOn: { n: 60, excluded: 0 }, unexplained: expect.any(Number) });
  expect(first.points[30]!.trial.location.verdict).toBe("above");
  const second = await trial({ exclusions });
  expect(second.revised).toMatchObject({ restsOn: { n: 59, excluded: 1 } });
  // What has a cause is no longer unexplained; the trial limits themselves stay what they were.
  expect({ ...second.trial, unexplained: 0 }).toEqual({ ...first.trial, unexplained: 0 });
  expect(second.fingerprint).not.toBe(first.fingerprint);
  expect(second.cautions.map(({ code }) => code)).toContain("few-values");
  expect(second.chance).toMatchObject({ rules: ["beyond-limit"], standardError: null });
  expect(api.data.journal.lastSeq()).toBe(seq);
});

test("the newest runs can be asked for by number, and the answer says which window that was", async () => {
  const asked = await trial({ window: { last: 40 } });
  expect(asked.window.runs).toBe(40);
  expect(asked.points[0]!.run).toBe(runs[20]!.run.id);
  const { from, to } = asked.window;
  const again = await trial({ window: { from, to } });
  expect(again).toEqual(asked);
});

test("too few runs are refused with how many are needed", async () => {
  const asked = await trial({ window: { last: 12 } });
  expect(asked.trial).toMatchObject({ refusal: { code: "too-few", needs: 25, has: 12 } });
  expect(asked.fingerprint).toBeNull();
  const none = await trial({ window: { from: "2020-01-01T00:00:00Z", to: "2020-01-02T00:00:00Z" } });
  expect(none).toMatchObject({ points: [], trial: { refusal: { code: "too-few" } }, fingerprint: null });
  const body = { ...(await proposeBody()), window: { last: 12 }, exclusions: [] };
  expect(await askProblem(proposals(), 409, post(body))).toMatchObject({ code: "not-proposable" });
});

test("nothing is left out without a cause, evidence and what was done, nor a run that is not there", async () => {
  for (const part of ["cause", "evidence", "action"]) {
    const lacking = [{ ...exclusions[0], [part]: "  " }];
    const problem = await askProblem(`${chart()}/trial`, 400, post({ window, exclusions: lacking }));
    expect(problem.errors?.[0]?.place).toBe(`body/exclusions/0/${part}`);
  }
  const strange = [{ run: "PR-01:nowhere", ...cause }];
  const problem = await askProblem(`${chart()}/trial`, 400, post({ window, exclusions: strange }));
  expect(problem.errors).toEqual([
    { place: "body/exclusions/0/run", found: "PR-01:nowhere", expected: "a run of the window" },
  ]);
  await askProblem(`${chart()}/trial`, 400, post({ window, exclusions: [...exclusions, ...exclusions] }));
});

test("a window is from and to, or the newest so many", async () => {
  for (const wrong of [
    {},
    { from: window.from },
    { last: 5, from: window.from },
    { last: 1_001 },
    { from: window.to, to: window.from },
  ]) {
    await askProblem(`${chart()}/trial`, 400, post({ window: wrong }));
  }
});

test("one proposes, another agrees, and only then there are limits", async () => {
  const proposal = await propose();
  expect(proposal).toMatchObject({ state: "open", number: 1, id: `${plateau}~1`, follows: null, reason });
  expect(proposal.exclusions).toMatchObject([{ run: runs[30]!.run.id, ...cause, by: "Process engineer" }]);
  expect(proposal.shown.restsOn.n).toBe(59);
  expect(limitEntries()).toEqual([]);
  const agreed = await agree(proposal.id, "wm", "0815");
  expect(agreed).toMatchObject({ state: "agreed", agreed: { by: { id: "wm" }, limitSet: `${plateau}@1` } });
  const [entry] = limitEntries();
  expect(entry?.body).toMatchObject({
    ...{ revision: 1, proposedBy: "Process engineer", agreedBy: "Works manager", reason },
    baseline: { n: 59, excluded: { [runs[30]!.run.id]: "steam supply" } },
  });
  const { limits } = await ask(chart(), endpoints.characteristic.answer);
  expect(limits).toMatchObject({ location: agreed.limits.location, revision: 1 });
  const { items } = await ask(`${api.url}/api/limits`, endpoints.limits.answer);
  const booked = items.find(({ characteristic }) => characteristic.id === plateau);
  expect(booked?.sets).toMatchObject([{ state: "working", proposedBy: "Process engineer", agreedBy: "Works manager" }]);
});

test("pages are told of a proposal and of its agreement", async () => {
  const told = (seq: number) => {
    const changes = api.model.changesSince(seq);
    return changes === "too-much" ? changes : changes.limits;
  };
  const before = api.model.seq;
  const { id } = await propose();
  expect(told(before)).toEqual([plateau]);
  const between = api.model.seq;
  await agree(id, "wm", "0815");
  expect(told(between)).toEqual([plateau]);
});

test("proposing the same again, and agreeing again, changes nothing", async () => {
  const proposal = await propose();
  const seq = api.data.journal.lastSeq();
  expect(await propose()).toEqual(proposal);
  expect(api.data.journal.lastSeq()).toBe(seq);
  const agreed = await agree(proposal.id, "wm", "0815");
  const after = api.data.journal.lastSeq();
  expect(await agree(proposal.id, "wm", "0815")).toEqual(agreed);
  expect(api.data.journal.lastSeq()).toBe(after);
});

test("nobody agrees with themselves", async () => {
  const { id } = await propose();
  const problem = await askProblem(`${proposals()}/${id}/agree`, 403, post({ by: "pe", pin: "4711" }));
  expect(problem.code).toBe("same-person");
  expect(limitEntries()).toEqual([]);
});

test("who it is has to be shown", async () => {
  const { id } = await propose();
  const seq = api.data.journal.lastSeq();
  const code = async (by: string, pin: string): Promise<string> =>
    (await askProblem(`${proposals()}/${id}/agree`, 403, post({ by, pin }))).code;
  expect(await code("wm", "4711")).toBe("wrong-pin");
  expect(await code("wm", "")).toBe("wrong-pin");
  expect(await code("nobody", "0815")).toBe("unknown-person");
  expect(await code("np", "0815")).toBe("no-pin");
  const number = await askProblem(`${proposals()}/${id}/agree`, 400, post({ by: "wm", pin: 815 }));
  expect(JSON.stringify(number)).not.toContain("815");
  const lacking = await askProblem(`${proposals()}/${id}/agree`, 400, post({ by: "wm" }));
  expect(lacking.errors?.[0]).toMatchObject({ place: "body/pin", found: "nothing" });
  const wrong = await askProblem(proposals(), 403, post(await proposeBody({ pin: "9999" })));
  expect(wrong.code).toBe("wrong-pin");
  expect(api.data.journal.lastSeq()).toBe(seq);
});

test("after five wrong PINs nobody is asked for a while, not even with the right one", async () => {
  const { id } = await propose();
  for (let i = 0; i < 5; i += 1)
    await askProblem(`${proposals()}/${id}/agree`, 403, post({ by: "wm", pin: `111${i}` }));
  const response = await fetch(`${proposals()}/${id}/agree`, post({ by: "wm", pin: "0815" }));
  expect(response.status).toBe(429);
  expect(Number(response.headers.get("retry-after"))).toBeGreaterThan(0);
  expect(await response.json()).toMatchObject({ code: "too-many-tries", status: 429 });
  expect(await agree(id, "el", "2222")).toMatchObject({ state: "agreed" });
});

test("of two who agree at the same moment one does, and the other is told", async () => {
  const { id } = await propose();
  const answers = await Promise.all([
    fetch(`${proposals()}/${id}/agree`, post({ by: "wm", pin: "0815" })),
    fetch(`${proposals()}/${id}/agree`, post({ by: "el", pin: "2222" })),
  ]);
  expect(answers.map(({ status }) => status).sort()).toEqual([200, 409]);
  expect(limitEntries()).toHaveLength(1);
  const other = answers.find(({ status }) => status === 409);
  expect(await other?.json()).toMatchObject({ code: "already-agreed" });
});

test("a proposal is stale once other limits are in force", async () => {
  const first = await propose();
  const second = await propose({ by: "se", pin: "3333" });
  expect(second.number).toBe(2);
  await agree(first.id, "wm", "0815");
  const problem = await askProblem(`${proposals()}/${second.id}/agree`, 409, post({ by: "wm", pin: "0815" }));
  expect(problem).toMatchObject({ code: "proposal-stale" });
  expect(problem.detail).toContain(`${plateau}@1`);
  expect(limitEntries()).toHaveLength(1);
  const { items } = await ask(`${proposals()}?state=stale`, endpoints.proposals.answer);
  expect(items.map(({ id }) => id)).toEqual([second.id]);
  const body = { by: "el", pin: "2222", reason: "the other one is in force" };
  await ask(`${proposals()}/${second.id}/withdraw`, endpoints.withdraw.answer, post(body));
  expectRecordToTell(api);
});

test("limits that the command set since make it stale as well", async () => {
  const { id } = await propose();
  api.data.journal.append([limitsEntry()]);
  const problem = await askProblem(`${proposals()}/${id}/agree`, 409, post({ by: "wm", pin: "0815" }));
  expect(problem.code).toBe("proposal-stale");
});

test("a withdrawn proposal says by whom and why, and can be agreed no more", async () => {
  const { id } = await propose();
  const body = { by: "el", pin: "2222", reason: "the window holds a trial mould" };
  const withdrawn = await ask(`${proposals()}/${id}/withdraw`, endpoints.withdraw.answer, post(body));
  expect(withdrawn).toMatchObject({
    state: "withdrawn",
    withdrawn: { by: { name: "Early lead" }, reason: body.reason },
  });
  expect(await ask(`${proposals()}/${id}/withdraw`, endpoints.withdraw.answer, post(body))).toEqual(withdrawn);
  const problem = await askProblem(`${proposals()}/${id}/agree`, 409, post({ by: "wm", pin: "0815" }));
  expect(problem).toMatchObject({ code: "already-withdrawn" });
  expect(problem.detail).toContain("trial mould");
  expect(await propose()).toMatchObject({ number: 2, state: "open" });
  expect(limitEntries()).toEqual([]);
});

test("other numbers than those shown are not proposed", async () => {
  const body = await proposeBody();
  api.data.journal.append([runEntry(runAt(100, 0.93))]);
  const problem = await askProblem(proposals(), 409, post(body));
  expect(problem.code).toBe("numbers-changed");
  expect(api.data.journal.read({ kinds: ["proposed"] })).toEqual([]);
});

test("new limits rule from after the newest point already judged", async () => {
  const { id } = await propose();
  api.data.journal.append(shotEntries(300, 0.9));
  await agree(id, "wm", "0815");
  const [entry] = limitEntries();
  const judged = runAt(300, 0.9).run.endMs;
  expect(entry?.kind === "limits" && entry.body.effectiveFromMs).toBe(judged + 1);
});

test("limits of another unit than the settings now have cannot be agreed", async () => {
  const { id } = await propose();
  const stored = api.data.journal.find(`proposed/${id}`);
  if (stored?.kind !== "proposed") throw new Error("nothing was proposed");
  const proposal = `${plateau}~9`;
  const body = { ...stored.body, proposal, number: 9, limits: { ...stored.body.limits, unit: "kPa" } };
  api.data.journal.append([{ ...stored, id: `proposed/${proposal}`, body }]);
  const problem = await askProblem(`${proposals()}/${proposal}/agree`, 409, post({ by: "wm", pin: "0815" }));
  expect(problem).toMatchObject({ code: "settings-changed" });
  expect(problem.detail).toContain("kPa");
  expect(limitEntries()).toEqual([]);
});

test("proposals page newest first, each once, and an unknown one is told so", async () => {
  for (const reasonOf of ["one", "two", "three"]) await propose({ reason: reasonOf });
  const first = await ask(`${proposals()}?limit=2`, endpoints.proposals.answer);
  const rest = await ask(`${proposals()}?limit=2&after=${first.next}`, endpoints.proposals.answer);
  expect([...first.items, ...rest.items].map(({ reason: why }) => why)).toEqual(["three", "two", "one"]);
  expect(rest.next).toBeNull();
  expect(await askProblem(`${proposals()}/none`, 404)).toMatchObject({ code: "unknown-proposal" });
  await askProblem(`${proposals()}?after=x`, 400);
});

test("people are listed without their PINs", async () => {
  const { items } = await ask(`${api.url}/api/people`, endpoints.people.answer);
  expect(items).toContainEqual({ id: "np", name: "Night lead", role: "shift-lead", hasPin: false });
  expect(JSON.stringify(items)).not.toContain("argon2");
});

test("replay lists what the limits would have flagged beside what was flagged", async () => {
  const shots = [0.9, 0.91, 0.85, 0.9, 0.96].flatMap((value, i) => shotEntries(400 + i, value));
  api.data.journal.append([limitsEntry(), ...shots]);
  api.model.catchUp();
  const replay = await ask(`${chart()}/replay`, endpoints.replay.answer, post({ window, exclusions }));
  if ("refusal" in replay) throw new Error(replay.refusal.detail);
  expect(replay).toMatchObject({ runs: 5, values: 5, inForce: { runs: 2 } });
  expect(replay.items.map(({ run }) => run)).toEqual(
    expect.arrayContaining([runAt(402, 0).run.id, runAt(404, 0).run.id]),
  );
  const within = await ask(`${chart()}/replay`, endpoints.replay.answer, post({ window, exclusions, span: window }));
  expect(within).toMatchObject({ runs: 60, inForce: { runs: 0 } });
});
