import { readFileSync } from "node:fs";
import { request } from "node:http";
import { gzipSync } from "node:zlib";
import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { filesIn } from "../../unit/source-files.ts";
import { as } from "../api/as.ts";
import { post } from "../api/ask.ts";
import { type RunningApi, runningApi } from "../api/running-api.ts";
import { addTestSessions } from "../api/test-sessions.ts";

let api: RunningApi;
beforeAll(async () => {
  api = await runningApi({ open: false });
});
afterAll(() => api.stop());

/** Of each route what it gives to an administrator and to nobody, and what is no route at all. */
const asked = (): readonly (readonly [string, RequestInit])[] => [
  ...Object.values(endpoints).flatMap(({ path, method }) => {
    const init = (headers: Readonly<Record<string, string>>): RequestInit =>
      method === "get" ? { headers } : post({}, headers);
    const at = path.replace("{id}", "none");
    return [as("administrator"), {}].map((headers) => [at, init(headers)] as const);
  }),
  ...["/api/none", "/none", "/assets/", "/assets/none.js", "/.git/config", "/%ff"].map((path) => [path, {}] as const),
];

test("every answer carries the policy, its type with its character set, and nothing for other sites", async () => {
  for (const [path, init] of asked()) {
    // Some of them sign out.
    addTestSessions(api.data.people);
    const answer = await fetch(`${api.url}${path}`, init);
    const { headers } = answer;
    const what = `${init.method ?? "GET"} ${path} ${answer.status}`;
    expect(headers.get("content-security-policy"), what).toMatch(
      /^default-src 'none';.*base-uri 'none';.*frame-ancestors 'none';object-src 'none'$/,
    );
    expect(headers.get("content-security-policy"), what).not.toContain("unsafe");
    expect(headers.get("x-content-type-options"), what).toBe("nosniff");
    expect(headers.get("referrer-policy"), what).toBe("no-referrer");
    expect(headers.get("cross-origin-resource-policy"), what).toBe("same-origin");
    expect(headers.get("access-control-allow-origin"), what).toBeNull();
    expect(headers.get("x-powered-by"), what).toBeNull();
    expect(headers.get("content-type"), what).toMatch(
      /^(application\/(problem\+)?json|text\/(plain|html)).*; charset=utf-8$/,
    );
    if (path.startsWith("/api/")) expect(headers.get("cache-control"), what).toBe("no-store");
    expect(await answer.text(), what).not.toMatch(/node_modules|\.ts:\d+|at \w+ \(/);
  }
  expect(api.defects).toEqual([]);
}, 60_000);

/** What `fetch` will not send. */
function raw(method: string, path: string, headers: Readonly<Record<string, string>>): Promise<number> {
  const { hostname, port } = new URL(api.url);
  return new Promise((resolve, reject) => {
    const sent = request({ hostname, port, method, path, headers }, (response) => {
      response.resume();
      resolve(response.statusCode ?? 0);
    });
    sent.on("error", reject).end();
  });
}

test("TRACE and other methods do nothing, and a request of two lengths is none", async () => {
  addTestSessions(api.data.people);
  for (const method of ["TRACE", "PUT", "PATCH", "DELETE"]) {
    expect([403, 404, 405, 415], method).toContain(await raw(method, "/api/floor", as("administrator")));
  }
  expect(await raw("GET", "/api/floor", { ...as("administrator"), "transfer-encoding": "chunked, identity" })).toBe(
    400,
  );
});

test("who a proxy says is asking is not believed: tries are counted by the connection", async () => {
  const statuses: number[] = [];
  for (let n = 0; n < 7; n += 1) {
    const headers = { "x-forwarded-for": `10.0.${n}.1`, "x-real-ip": `10.0.${n}.1`, forwarded: `for=10.0.${n}.1` };
    statuses.push(
      (await fetch(`${api.url}/api/session`, post({ account: "early-lead", password: "x" }, headers))).status,
    );
  }
  expect(statuses.slice(0, 5)).toEqual([401, 401, 401, 401, 401]);
  expect(statuses.slice(5)).toEqual([429, 429]);
});

test("packed bodies are not unpacked without bound, and a name that is given twice is refused", async () => {
  addTestSessions(api.data.people);
  const headers = { ...as("administrator"), "content-type": "application/json", "content-encoding": "gzip" };
  const body = gzipSync(JSON.stringify({ reason: "x".repeat(1_000_000) }));
  expect((await fetch(`${api.url}/api/keys`, { method: "POST", headers, body })).status).toBe(413);
  expect((await fetch(`${api.url}/api/runs?limit=1&limit=2`, { headers: as("administrator") })).status).toBe(400);
});

test("no source of the pages makes markup or script of text", () => {
  const files = filesIn("dashboard", [".ts", ".tsx", ".html"]);
  expect(files.length).toBeGreaterThan(50);
  const wrong = /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|javascript:/;
  expect(files.filter((file) => wrong.test(readFileSync(file, "utf8")))).toEqual([]);
});
