import { afterEach, beforeEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { makeLink } from "../../../api/people/links.ts";
import { hashSecret, prepareSecrets, secretMatches, tokenHash } from "../../../api/people/secrets.ts";
import { as, tokenOf } from "../api/as.ts";
import { ask, askProblem, post } from "../api/ask.ts";
import { livePage } from "../api/live-page.ts";
import { type RunningApi, runningApi } from "../api/running-api.ts";

let api: RunningApi;
const password = "white pattern under sand";

beforeEach(async () => {
  api = await runningApi({ open: false });
  const { people } = api.data;
  const lead = people.account("early-lead")!;
  people.putAccount({ ...lead, password: await hashSecret(password) });
});
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

const url = (path: string): string => `${api.url}${path}`;
async function signIn(headers: Readonly<Record<string, string>> = {}, change = {}) {
  const answer = await fetch(url("/api/session"), post({ account: "early-lead", password, ...change }, headers));
  const cookie = answer.headers.getSetCookie().find((one) => one.startsWith("steadypour=")) ?? "";
  return { status: answer.status, cookie, header: { cookie: cookie.split(";")[0]! }, body: await answer.json() };
}
const kindOf = async (headers: Readonly<Record<string, string>>): Promise<string> =>
  (await ask(url("/api/session"), endpoints.session.answer, { headers })).kind;

test("who signs in has a session in a cookie that no script reads and no other site sends", async () => {
  const { status, cookie, header, body } = await signIn();
  expect(status).toBe(200);
  expect(body).toMatchObject({ kind: "person", person: { id: "early-lead", role: "shift-lead" } });
  expect(cookie).toMatch(/^steadypour=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict$/);
  expect(await kindOf(header)).toBe("person");
  // Of the token only its hash is kept.
  const token = header.cookie.slice("steadypour=".length);
  expect(api.data.people.session(tokenHash(token))).toMatchObject({ account: "early-lead", shared: false });
  expect(api.data.people.session(token)).toBeUndefined();
});

test("a token that somebody put into the browser before is worth nothing after, and the former session ends", async () => {
  const planted = { cookie: "steadypour=planted-by-a-stranger" };
  const { header } = await signIn(planted);
  expect(header.cookie).not.toBe(planted.cookie);
  expect(await kindOf(planted)).toBe("nobody");
  const again = await signIn(header);
  expect(again.header.cookie).not.toBe(header.cookie);
  expect(await kindOf(header)).toBe("nobody");
  expect(await kindOf(again.header)).toBe("person");
});

test("a wrong password and an unknown account are answered alike", async () => {
  const wrong = await askProblem(url("/api/session"), 401, post({ account: "early-lead", password: "x" }, {}));
  const unknown = await askProblem(url("/api/session"), 401, post({ account: "nobody-here", password: "x" }, {}));
  expect(unknown).toEqual(wrong);
  // Who has no password yet, and who is closed, likewise.
  expect(await askProblem(url("/api/session"), 401, post({ account: "visitor", password: "x" }, {}))).toEqual(wrong);
});

test("an unknown account takes as long as a wrong password", async () => {
  await prepareSecrets();
  const hashed = await hashSecret(password);
  const times: Record<"unknown" | "wrong", number[]> = { unknown: [], wrong: [] };
  // Interleaved, so that whatever else runs here slows both alike; the quickest of many is what the work itself takes.
  for (let n = 0; n < 12; n += 1) {
    for (const [which, against] of [
      ["unknown", null],
      ["wrong", hashed],
    ] as const) {
      const began = performance.now();
      expect(await secretMatches(against, `guess ${n}`)).toBe(false);
      times[which].push(performance.now() - began);
    }
  }
  const ratio = Math.min(...times.unknown) / Math.min(...times.wrong);
  expect(ratio).toBeGreaterThan(0.6);
  expect(ratio).toBeLessThan(1.7);
});

test("after five wrong passwords from one network the account is asked for no more, and is told when", async () => {
  const statuses: number[] = [];
  for (let n = 0; n < 6; n += 1) statuses.push((await signIn({}, { password: `wrong ${n}` })).status);
  expect(statuses).toEqual([401, 401, 401, 401, 401, 429]);
  expect((await signIn()).status).toBe(429);
});

test("a session ends when nobody uses it, at its end, and when its account is closed", async () => {
  const { people } = api.data;
  const hour = 3_600_000;
  const now = Date.now();
  const session = { former: null, account: "early-lead", shared: false, device: "x" };
  const times = { madeMs: now - hour, turnedMs: now, seenMs: now, untilMs: now + hour };
  people.addSession({ hash: tokenHash("idle"), ...session, ...times, seenMs: now - hour - 1 });
  people.addSession({ hash: tokenHash("over"), ...session, ...times, untilMs: now });
  people.addSession({ hash: tokenHash("good"), ...session, ...times });
  const kinds = async () =>
    Promise.all(["idle", "over", "good"].map((token) => kindOf({ cookie: `steadypour=${token}` })));
  expect(await kinds()).toEqual(["nobody", "nobody", "person"]);
  people.putAccount({ ...people.account("early-lead")!, offMs: now });
  expect(await kinds()).toEqual(["nobody", "nobody", "nobody"]);
});

test("a token is replaced after an hour; the one before is taken for half a minute more", async () => {
  const { people } = api.data;
  const now = Date.now();
  const times = { madeMs: now - 7_200_000, turnedMs: now - 3_700_000, seenMs: now, untilMs: now + 3_600_000 };
  people.addSession({
    hash: tokenHash("old"),
    former: null,
    account: "early-lead",
    shared: false,
    device: "x",
    ...times,
  });
  const answer = await fetch(url("/api/session"), { headers: { cookie: "steadypour=old" } });
  const [cookie = ""] = answer.headers.getSetCookie();
  expect(cookie).toMatch(/^steadypour=[\w-]{43};/);
  expect(await kindOf({ cookie: cookie.split(";")[0]! })).toBe("person");
  expect(await kindOf({ cookie: "steadypour=old" })).toBe("person");
  const turned = people.session(tokenHash("old"))!;
  expect(turned.hash).not.toBe(tokenHash("old"));
});

test("signing out everywhere ends every session and every open page of the account, and stands in the record", async () => {
  const [one, other] = [await signIn(), await signIn()];
  const page = await livePage(api.url, undefined, { headers: other.header });
  const closed = new Promise<number>((resolve) => page.socket.once("close", resolve));
  await ask(url("/api/session/end-all"), endpoints.signOutEverywhere.answer, post({}, one.header));
  expect(await closed).toBe(4401);
  expect([await kindOf(one.header), await kindOf(other.header)]).toEqual(["nobody", "nobody"]);
  expect(api.data.record.read({ limit: 1 })[0]).toMatchObject({
    kind: "signed-out-everywhere",
    by: { id: "early-lead" },
  });
});

test("a one-time link works once, for one person, and not when it has run out", async () => {
  const { people } = api.data;
  const token = (path: string): string => path.split("#")[1]!;
  const { path } = makeLink(people, "visitor", Date.now());
  const body = { token: token(path), password: "moulds and kettles 9" };
  const look = (): RequestInit => post({ token: body.token }, {});
  // Looked at as often as one likes, it stays open.
  for (let n = 0; n < 2; n += 1) {
    const seen = await ask(url("/api/welcome/look"), endpoints.lookAtLink.answer, look());
    expect(seen.name).toBe(people.account("visitor")?.name);
  }
  const weak = await askProblem(url("/api/welcome"), 400, post({ ...body, password: "visitor12345" }, {}));
  expect(weak.errors?.[0]?.place).toBe("body/password");
  const session = await ask(url("/api/welcome"), endpoints.welcome.answer, post(body, {}));
  expect(session).toMatchObject({ kind: "person", person: { id: "visitor", role: "viewer" } });
  expect((await askProblem(url("/api/welcome"), 403, post(body, {}))).code).toBe("link-gone");
  expect((await askProblem(url("/api/welcome/look"), 403, look())).code).toBe("link-gone");
  const late = makeLink(people, "visitor", Date.now() - 30 * 86_400_000);
  expect((await askProblem(url("/api/welcome"), 403, post({ ...body, token: token(late.path) }, {}))).code).toBe(
    "link-gone",
  );
  const answers = await (async () => {
    const twice = post({ ...body, token: token(makeLink(people, "visitor", Date.now()).path) }, {});
    return Promise.all([fetch(url("/api/welcome"), twice), fetch(url("/api/welcome"), twice)]);
  })();
  expect(answers.map(({ status }) => status).sort()).toEqual([200, 403]);
});

test("the first link makes the first administrator, who agrees to no limits", async () => {
  const token = makeLink(api.data.people, null, Date.now()).path.split("first.")[1]!;
  const body = { token, id: "house", name: "House keeper", password: "kettle over cold water" };
  expect(await ask(url("/api/welcome/look"), endpoints.lookAtLink.answer, post({ token }, {}))).toEqual({ name: null });
  const session = await ask(url("/api/welcome"), endpoints.welcome.answer, post(body, {}));
  expect(session).toMatchObject({ person: { id: "house", role: "administrator" }, ready: true });
  expect(session.rights).not.toContain("agree-limits");
});

test("the last administrator can neither be closed nor made anything else", async () => {
  const { people } = api.data;
  people.putAccount({ ...people.account("administrator")!, password: await hashSecret(password) });
  for (const change of [{ closed: true }, { role: "viewer" }]) {
    const body = post({ ...change, reason: "a slip" }, as("administrator"));
    expect((await askProblem(url("/api/accounts/administrator"), 409, body)).code).toBe("last-administrator");
  }
});

test("another role signs its person out, and names that would deceive are refused", async () => {
  const { header } = await signIn();
  const change = { role: "viewer", reason: "moved to another plant" };
  await ask(url("/api/accounts/early-lead"), endpoints.changeAccount.answer, post(change, as("administrator")));
  expect(await kindOf(header)).toBe("nobody");
  const names = ["<img src=x onerror=alert(1)>", "a\nlevel=fatal", "Night\u202elead", "Late lead", " "];
  const statuses = await Promise.all(
    names.map(async (name, n) => {
      const body = { id: `made-${n}`, name, role: "viewer", reason: "a trial" };
      return (await fetch(url("/api/accounts"), post(body, as("administrator")))).status;
    }),
  );
  expect(statuses).toEqual([400, 400, 400, 409, 400]);
});

test("no answer of any route holds a password, a PIN, a hash of one, or a token", async () => {
  const { header } = await signIn();
  const made = await ask(
    url("/api/keys"),
    endpoints.addKey.answer,
    post({ kind: "token", name: "Historian", scopes: ["read"], reason: "a trial" }, as("administrator")),
  );
  const secrets = [
    password,
    "argon2",
    header.cookie.slice(11),
    made.secret,
    tokenHash(made.secret),
    tokenOf("early-lead"),
  ];
  for (const { method, path } of Object.values(endpoints)) {
    if (method !== "get") continue;
    const query =
      path === "/api/trend"
        ? "?series=PR-01/pressure&from=0&to=1000"
        : path === "/api/readings"
          ? "?series=PR-01/pressure"
          : "";
    const answer = await fetch(url(`${path.replace("{id}", "none")}${query}`), { headers: as("administrator") });
    const text = await answer.text();
    for (const secret of secrets) expect(text.includes(secret), `${path} holds ${secret.slice(0, 6)}`).toBe(false);
  }
  const wrong = await fetch(url("/api/session"), post({ account: 5, password: 1234567 }, {}));
  expect(await wrong.text()).not.toContain("1234567");
});
