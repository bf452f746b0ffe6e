import { createECDH, randomBytes } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { connectAsync } from "mqtt";
import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { hashSecret, newToken } from "../../../api/people/secrets.ts";
import { eventually } from "../../eventually.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

/**
 * The product as it is delivered, told everything that is to be kept, with the log at its most talkative; then all that it says is
 * looked through: log, answers, pages, files it keeps, and what the command prints.
 */
let product: RunningProcess;
const folder = temporaryFolder();
const data = join(folder.path, "data");
let url: string;
/** By what they are, so that a failure says which got out and does not repeat it. */
const secrets = new Map<string, string>();
let environment: Record<string, string>;
let administrator: string;

const hostile = '=cmd|"/c calc"!A1\r\n{"level":60,"msg":"all is well"}\u2028\u001b[2J<script>alert(1)</script> x,y=1 1';

async function send(path: string, body: unknown, headers: Readonly<Record<string, string>> = {}): Promise<Response> {
  const type = { "content-type": "application/json" };
  return fetch(`${url}${path}`, { method: "POST", headers: { ...type, ...headers }, body: JSON.stringify(body) });
}

function keep(what: string, secret: string): string {
  secrets.set(what, secret);
  return secret;
}

/** The session's cookie that an answer sets, its value kept as a secret. */
function cookieOf(what: string, answer: Response): string {
  const set = answer.headers.getSetCookie().find((one) => /^steadypour(-display)?=[^;]/.test(one));
  if (set === undefined) throw new Error(`${what}: no cookie in an answer ${answer.status}`);
  const cookie = set.split(";")[0]!;
  keep(what, cookie.slice(cookie.indexOf("=") + 1));
  return cookie;
}

async function invited(account: string): Promise<string> {
  const answer = await send(`/api/accounts/${account}/link`, { reason: "new here" }, { cookie: administrator });
  const { path } = (await answer.json()) as { path: string };
  return keep(`link of ${account}`, path.split("#")[1]!);
}

beforeAll(async () => {
  const plant = readFileSync("simulator/ostrimvale.yaml", "utf8");
  const config = join(folder.path, "site.yaml");
  const password = keep("password of a gateway", "gateway under the stairs");
  const users = `[{ user: gw-pr, password: "${await hashSecret(password)}", publish: ["ostrimvale/#"] }]`;
  writeFileSync(config, `${plant}\ndoors: { openSending: false, openReading: false, mqtt: ${users} }\n`);
  const [http, mqtt] = [await freePort(), await freePort()];
  url = `http://127.0.0.1:${http}`;
  environment = {
    ...{ STEADYPOUR_CONFIG: config, STEADYPOUR_DATA: data, STEADYPOUR_LOG: "trace" },
    ...{ STEADYPOUR_HTTP_PORT: String(http), STEADYPOUR_MQTT_PORT: String(mqtt) },
  };
  product = startNode(["dist/api/main.js"], environment);
  const [, first] = await product.says(/#first\.([\w-]{43})/);
  await product.says(/"started"/);

  keep("first link", first!);
  const own = { password: keep("first password", "kettle over cold water"), pin: keep("first PIN", "40719283") };
  administrator = cookieOf(
    "first session",
    await send("/api/welcome", { token: first, id: "house", name: "House keeper", ...own }),
  );

  const made = { id: "moulder", name: `'=1+1 ${'& "quoted"'}`, role: "process-engineer", reason: hostile };
  expect((await send("/api/accounts", made, { cookie: administrator })).status).toBe(200);
  const chosen = { password: keep("chosen password", "nine sand flasks waiting"), pin: keep("chosen PIN", "55120934") };
  const moulder = cookieOf(
    "second session",
    await send("/api/welcome", { token: await invited("moulder"), ...chosen }),
  );
  const changed = {
    password: chosen.password,
    newPassword: keep("next password", "dryer hums at night"),
    newPin: keep("next PIN", "83015562"),
  };
  const next = cookieOf("third session", await send("/api/session/secrets", changed, { cookie: moulder }));
  await invited("works-manager");

  for (const body of [
    { kind: "token", name: "Reader", scopes: ["read"], reason: hostile },
    { kind: "display", name: "Wall", page: "/flags", reason: "a trial" },
  ]) {
    const answer = await send("/api/keys", body, { cookie: administrator });
    keep(`key of a ${body.kind}`, ((await answer.json()) as { secret: string }).secret);
  }
  cookieOf("display's cookie", await send("/api/display", { key: secrets.get("key of a display") }));
  await fetch(`${url}/api/floor`, { headers: { authorization: `Bearer ${secrets.get("key of a token")}` } });

  const phone = createECDH("prime256v1");
  const keys = {
    p256dh: phone.generateKeys("base64url"),
    auth: keep("phone's own secret", randomBytes(16).toString("base64url")),
  };
  const endpoint = `https://push.ostrimvale.example/${keep("phone's address", newToken())}`;
  const subscribed = await send(
    "/api/subscriptions",
    { name: "Phone", subscription: { endpoint, keys } },
    { cookie: next },
  );
  keep("phone's secret", ((await subscribed.json()) as { secret: string }).secret);

  // And all the ways to say a secret in the wrong place.
  const lost = keep("mistyped password", "kettle over colt water 7");
  await send("/api/session", { account: "moulder", password: lost });
  await send("/api/session", { account: lost, password: "x" });
  await send("/api/session", { account: "moulder", password: lost, more: 1 });
  await send("/api/session", { account: "moulder", password: 5, pin: lost });
  await fetch(`${url}/api/session`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: `{"password":"${lost}`,
  });
  await fetch(`${url}/api/floor`, { headers: { authorization: `Bearer ${lost}` } });
  await fetch(`${url}/api/floor`, {
    headers: { authorization: `Basic ${Buffer.from(`x:${lost}`).toString("base64")}` },
  });
  const subscription = { endpoint, keys };
  await send(
    "/api/subscriptions",
    { name: "Phone", subscription, by: "moulder", pin: lost },
    { cookie: administrator },
  );
  await fetch(`${url}/api/accounts`, { headers: { cookie: next } });
  await send("/api/welcome", { token: lost, password: lost });
  const broker = `mqtt://127.0.0.1:${mqtt}`;
  const quiet = { protocolVersion: 4, reconnectPeriod: 0, connectTimeout: 10_000 } as const;
  await expect(connectAsync(broker, { ...quiet, username: "gw-pr", password: lost })).rejects.toThrow();
  const gateway = await connectAsync(broker, { ...quiet, username: "gw-pr", password, clientId: 'gw"}\n{"level":60' });
  await gateway.publishAsync('ostrimvale/GW-PR/"}\n{"level":60,"msg":"forged"}', hostile, { qos: 1 });
  await gateway.endAsync();
  // What goes wrong in names, paths and headers stands in the log as one line.
  await fetch(`${url}/api/flags/${encodeURIComponent(hostile)}/take`, {
    method: "POST",
    headers: { "content-type": "application/json", "user-agent": `Chrome/${lost}`, origin: `http://elsewhere.example` },
    body: "{}",
  });
}, 120_000);

afterAll(async () => {
  await product?.stop();
  folder.remove();
});

function expectNoSecret(where: string, text: string): void {
  for (const [what, secret] of secrets) expect(text.includes(secret), `${where} holds the ${what}`).toBe(false);
}

const logLines = (): readonly string[] =>
  product
    .said()
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("first administrator:"));

test("no line of the log holds a secret, and each is one event of ours, whatever was sent", () => {
  const lines = logLines();
  expectNoSecret("the log", lines.join("\n"));
  const events = lines.map((line) => JSON.parse(line) as { level: number; time: string; msg: string });
  expect(
    events.filter(({ level, time, msg }) => level >= 60 || !/Z$/.test(time) || /forged|all is well/.test(msg)),
  ).toEqual([]);
  const said = events.map(({ msg }) => msg);
  // What an intruder would leave behind is there.
  for (const msg of ["signed in", "a sign-in was refused", "refused"]) expect(said).toContain(msg);
  const refused = events.filter(({ msg }) => msg === "refused") as unknown as { code: string; who: string }[];
  expect(new Set(refused.map(({ code }) => code))).toEqual(
    new Set(["wrong-pin", "not-allowed", "link-gone", "foreign-origin"]),
  );
});

test("the one line that tells the first link stands once, and not in the log", () => {
  expect(
    product
      .said()
      .split("\n")
      .filter((line) => line.includes(secrets.get("first link")!)),
  ).toHaveLength(1);
});

test("no answer of any route holds a secret, nor does a page or what is built for it", async () => {
  for (const { method, path } of Object.values(endpoints)) {
    if (method !== "get") continue;
    for (const id of ["none", "moulder", encodeURIComponent("PR-01:mold.plateau")]) {
      const query =
        path === "/api/trend"
          ? "?series=PR-01/pressure&from=0&to=1000"
          : path === "/api/readings"
            ? "?series=PR-01/pressure"
            : "";
      const answer = await fetch(`${url}${path.replace("{id}", id)}${query}`, { headers: { cookie: administrator } });
      const text = await answer.text();
      expectNoSecret(path, text);
      expect(text, path).not.toMatch(/argon2|"(password|pin|secret|auth|p256dh)":\s*"[\w$+/-]{8,}/i);
      if (!path.includes("{id}")) break;
    }
  }
  for (const path of ["/", "/record", "/people", "/welcome", "/pocket", "/pocket/set-up"]) {
    expectNoSecret(
      path,
      await (await fetch(`${url}${path}`, { headers: { cookie: administrator, accept: "text/html" } })).text(),
    );
  }
});

test("what the record says back of names and reasons is what was written, as JSON and nothing else", async () => {
  const answer = await fetch(`${url}/api/record?kind=account-made&subject=moulder`, {
    headers: { cookie: administrator },
  });
  expect(answer.headers.get("content-type")).toBe("application/json; charset=utf-8");
  expect(answer.headers.get("x-content-type-options")).toBe("nosniff");
  const { items } = (await answer.json()) as { items: { reason: string; new: { name: string } }[] };
  expect(items).toMatchObject([{ reason: hostile.trim(), new: { name: `'=1+1 & "quoted"` } }]);
});

test("the metrics are well-formed lines whatever senders call themselves", async () => {
  const text = await (await fetch(`${url}/metrics`, { headers: { cookie: administrator } })).text();
  const line = /^(#.*|[a-z_]+(\{([a-z_]+="([^"\\\n]|\\["\\n])*",?)*\})? [-+0-9.eNaInf]+)$/;
  expect(text.split("\n").filter((one) => one !== "" && !line.test(one))).toEqual([]);
});

test("files hold hashes: no password, PIN, link, session or key can be read out of the data folder", async () => {
  const kept = new Set(["phone's own secret", "phone's address", "phone's secret"]);
  for (const name of readdirSync(data)) {
    const bytes = readFileSync(join(data, name));
    for (const [what, secret] of secrets) {
      // The phone's are needed to send to it, which a hash is no good for.
      if (!kept.has(what)) expect(bytes.includes(secret), `${name} holds the ${what}`).toBe(false);
    }
  }
});

test.each([["account", "list"], ["verify-record"], ["check"]])("%s prints none", async (...words) => {
  const verb = startNode(["dist/api/cli/main.js", ...words], environment);
  await verb.exit(60_000);
  expect(verb.said().length).toBeGreaterThan(20);
  expectNoSecret(words.join(" "), verb.said());
  await eventually("the product still answers", async () => (await fetch(`${url}/healthz`)).ok);
});
