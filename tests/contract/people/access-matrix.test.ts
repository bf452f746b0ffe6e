import { afterAll, beforeAll, expect, test } from "vitest";
import { displayPages, liveNeeds, needs, type Right, rights, rightsOf } from "../../../api/contract/access.ts";
import type { endpoints } from "../../../api/contract/endpoints.ts";
import { liveFrameSchema } from "../../../api/contract/wire.ts";
import { newToken, tokenHash } from "../../../api/people/secrets.ts";
import { type Role, roles } from "../../../spc/model/role.ts";
import { as, terminal } from "../api/as.ts";
import { livePage, refusedWith } from "../api/live-page.ts";
import { limitsEntry } from "../api/press-entries.ts";
import { type RunningApi, runningApi } from "../api/running-api.ts";
import { addTestSessions } from "../api/test-sessions.ts";

type Name = keyof typeof endpoints;
type Headers = Readonly<Record<string, string>>;

interface Operation {
  readonly operationId: string;
  readonly "x-needs": string;
  readonly "x-named"?: boolean;
}

/** One who asks: what they send, and what the table gives them. */
interface Asker {
  readonly who: string;
  readonly headers: Headers;
  readonly may: (right: Right, name: Name) => boolean;
  /** Whether a PIN in the body might say who it is. */
  readonly names: boolean;
}

let api: RunningApi;
let operations: { readonly path: string; readonly method: string; readonly operation: Operation }[];
const accountOf: Readonly<Record<Role, string>> = {
  viewer: "visitor",
  "shift-lead": "early-lead",
  inspector: "inspector",
  maintenance: "maintenance",
  "process-engineer": "process-engineer",
  "works-manager": "works-manager",
  administrator: "administrator",
};
const key = { display: newToken(), program: newToken(), revoked: newToken(), revokedDisplay: newToken() };
const expired = newToken();

beforeAll(async () => {
  api = await runningApi({ open: false, before: ({ journal }) => void journal.append([limitsEntry()]) });
  const { people } = api.data;
  const made = { madeMs: 1, usedMs: null };
  const none = { page: null, scopes: [] };
  people.addKey({
    id: "d",
    hash: tokenHash(key.display),
    kind: "display",
    name: "Wall",
    ...made,
    ...none,
    page: "/flags",
    goneMs: null,
  });
  people.addKey({
    id: "p",
    hash: tokenHash(key.program),
    kind: "token",
    name: "Historian",
    ...made,
    ...none,
    scopes: ["read"],
    goneMs: null,
  });
  people.addKey({
    id: "r",
    hash: tokenHash(key.revoked),
    kind: "token",
    name: "Old",
    ...made,
    ...none,
    scopes: ["read", "hand-in-readings"],
    goneMs: null,
  });
  people.addKey({
    id: "s",
    hash: tokenHash(key.revokedDisplay),
    kind: "display",
    name: "Old wall",
    ...made,
    ...none,
    page: "/",
    goneMs: null,
  });
  people.revokeKey("r", 2);
  people.revokeKey("s", 2);
  const old = { madeMs: 1, turnedMs: 1, seenMs: Date.now(), untilMs: Date.now() - 1 };
  people.addSession({
    hash: tokenHash(expired),
    former: null,
    account: "process-engineer",
    shared: false,
    device: "x",
    ...old,
  });
  const answer = await fetch(`${api.url}/api/openapi.json`, { headers: as("visitor") });
  const { paths } = (await answer.json()) as { paths: Record<string, Record<string, Operation>> };
  operations = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ path, method, operation })),
  );
});
afterAll(() => api.stop());

const nobody = (): boolean => false;
const askers = (): readonly Asker[] => [
  { who: "signed out", headers: {}, may: nobody, names: false },
  ...roles.map((role): Asker => {
    return { who: role, headers: as(accountOf[role]), may: (right) => rightsOf[role].includes(right), names: true };
  }),
  { who: "terminal", headers: as(terminal), may: (right) => right === "read" || right === "try-limits", names: true },
  {
    who: "display",
    headers: { cookie: `steadypour-display=${key.display}` },
    may: (right, name) => right === "read" && displayPages["/flags"]!.includes(name),
    names: false,
  },
  {
    who: "program",
    headers: { authorization: `Bearer ${key.program}` },
    may: (right) => right === "read",
    names: false,
  },
  { who: "revoked token", headers: { authorization: `Bearer ${key.revoked}` }, may: nobody, names: false },
  {
    who: "revoked display",
    headers: { cookie: `steadypour-display=${key.revokedDisplay}` },
    may: nobody,
    names: false,
  },
  { who: "expired session", headers: { cookie: `steadypour=${expired}` }, may: nobody, names: false },
  { who: "made-up cookie", headers: { cookie: "steadypour=x" }, may: nobody, names: false },
  { who: "made-up device", headers: { authorization: "Device a.b" }, may: nobody, names: false },
];

const refusals = ["sign-in-needed", "not-allowed", "name-needed"];

async function refusal(path: string, method: string, headers: Headers): Promise<string | null> {
  const body = method === "post" ? { body: "{}" } : {};
  const type = method === "post" ? { "content-type": "application/json" } : {};
  const url = `${api.url}${path.replace("{id}", "none")}`;
  const answer = await fetch(url, { method: method.toUpperCase(), headers: { ...headers, ...type }, ...body });
  const text = await answer.text();
  if (answer.status !== 401 && answer.status !== 403) return null;
  const { code } = JSON.parse(text) as { code: string };
  return refusals.includes(code) ? code : null;
}

test("every route of the OpenAPI document stands in the table, and says there what it needs", () => {
  expect(operations.map(({ operation }) => operation.operationId).sort()).toEqual(Object.keys(needs).sort());
  for (const { operation } of operations) {
    const need = needs[operation.operationId as Name];
    expect(operation["x-needs"], operation.operationId).toBe(need === "anyone" ? "anyone" : need.right);
  }
});

test("every route lets through and refuses everybody as the table says", async () => {
  const wrong: string[] = [];
  for (const { path, method, operation } of operations) {
    const name = operation.operationId as Name;
    const need = needs[name];
    for (const { who, headers, may } of askers()) {
      addTestSessions(api.data.people);
      const allowed = need === "anyone" || may(need.right, name);
      const code = await refusal(path, method, headers);
      if (allowed !== (code === null)) wrong.push(`${who}: ${method} ${path}: ${code ?? "let through"}`);
    }
  }
  expect(wrong).toEqual([]);
  expect(api.defects).toEqual([]);
}, 240_000);

test("another site's page, another host's name and another method are refused whoever asks", async () => {
  for (const { path, method } of operations) {
    const url = `${api.url}${path.replace("{id}", "none")}`;
    if (method === "post") {
      const headers = {
        ...as("administrator"),
        "content-type": "application/json",
        origin: "http://elsewhere.example",
      };
      const answer = await fetch(url, { method: "POST", headers, body: "{}" });
      expect([answer.status, ((await answer.json()) as { code: string }).code], path).toEqual([403, "foreign-origin"]);
    }
    const other = await fetch(url, { method: "DELETE", headers: as("administrator") });
    expect(other.status, path).toBe(405);
  }
});

test("every kind of message of the live stream stands in the table", () => {
  const kinds = liveFrameSchema.options.map((one) => one.shape.type.value);
  expect(Object.keys(liveNeeds).sort()).toEqual([...kinds].sort());
  for (const right of Object.values(liveNeeds)) expect(Object.keys(rights)).toContain(right);
});

test("the live stream takes in everybody whom the table lets hear it, sends them what it says, and refuses all others", async () => {
  const url = `${api.url.replace("http", "ws")}/live`;
  const wrong: string[] = [];
  for (const { who, headers, may } of askers()) {
    addTestSessions(api.data.people);
    // A display has no endpoint here: its key reads, and the stream tells what pages show.
    const hears = (right: Right): boolean => (who === "display" ? right === "read" : may(right, "floor"));
    if (!hears(liveNeeds.hello)) {
      const status = await refusedWith(url, headers);
      if (status !== 401 && status !== 403) wrong.push(`${who}: ${status}`);
      continue;
    }
    // From the very beginning, so that there is something to tell; values come within a second.
    const page = await livePage(api.url, 0, { headers });
    await page.next("values");
    for (const { type } of page.frames) if (!hears(liveNeeds[type])) wrong.push(`${who} was sent ${type}`);
    expect(page.frames.map(({ type }) => type)).toEqual(expect.arrayContaining(["hello", "changes", "values"]));
    await page.close();
  }
  expect(wrong).toEqual([]);
}, 60_000);

test("what no table lets through: ended sessions, revoked keys, other sites and other hosts", async () => {
  const url = `${api.url.replace("http", "ws")}/live`;
  expect(await refusedWith(url)).toBe(401);
  expect(await refusedWith(url, { cookie: `steadypour=${expired}` })).toBe(401);
  expect(await refusedWith(url, { authorization: `Bearer ${key.revoked}` })).toBe(401);
  expect(await refusedWith(url, { ...as("visitor"), origin: "http://elsewhere.example" })).toBe(403);
  expect(await refusedWith(url, { ...as("visitor"), host: "elsewhere.example" })).toBe(421);
});

test("what the roles must never be able to do is in no row of the table", () => {
  expect(rightsOf.administrator).not.toContain("agree-limits");
  expect(rightsOf.administrator).not.toContain("propose-limits");
  expect(rightsOf.administrator).not.toContain("handle-flags");
  expect(rightsOf["shift-lead"]).toContain("agree-limits");
  expect(rightsOf["shift-lead"]).not.toContain("propose-limits");
  for (const role of roles.filter((one) => one !== "administrator")) {
    expect(rightsOf[role], role).not.toContain("manage-people");
    expect(rightsOf[role], role).not.toContain("manage-keys");
  }
  expect(rightsOf.viewer).toEqual(["read", "own-phone", "own-account", "read-own-record"]);
  // Readings come from senders: nobody hands them in by their own account, and nothing changes them.
  for (const role of roles) expect(rightsOf[role], role).not.toContain("hand-in-readings");
  expect(Object.keys(rights).filter((right) => /edit|change-readings|delete/.test(right))).toEqual([]);
});
