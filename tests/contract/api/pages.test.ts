import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { temporaryFolder } from "../../temporary-folder.ts";
import { askProblem } from "./ask.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

const web = temporaryFolder();
let api: RunningApi;
beforeAll(async () => {
  mkdirSync(join(web.path, "assets"));
  writeFileSync(join(web.path, "index.html"), "<!doctype html><title>Steadypour</title>");
  writeFileSync(join(web.path, "assets", "main-4f2a.js"), "export {};");
  writeFileSync(join(web.path, "icon.svg"), "<svg/>");
  api = await runningApi({ webFolder: web.path });
});
afterAll(async () => {
  await api.stop();
  web.remove();
});

test.each([
  "/",
  "/flags",
  "/run/PR-01:20261125T080000000Z",
  "/bench",
  "/bench/PR-01%3Amold.plateau",
  "/limits",
  "/messages",
  "/set-up/PR-01",
  "/plan",
])("%s is a page, asked for anew each time", async (path) => {
  const response = await fetch(`${api.url}${path}`);
  expect(response.status).toBe(200);
  expect(response.headers.get("content-type")).toMatch(/^text\/html/);
  expect(response.headers.get("cache-control")).toBe("no-cache");
  expect(await response.text()).toContain("Steadypour");
});

test("hashed assets stay with the browser, other files are asked for anew", async () => {
  const asset = await fetch(`${api.url}/assets/main-4f2a.js`);
  expect(asset.headers.get("cache-control")).toBe("public, max-age=31536000, immutable");
  expect(asset.headers.get("content-type")).toMatch(/javascript/);
  const icon = await fetch(`${api.url}/icon.svg`);
  expect(icon.headers.get("cache-control")).toBe("no-cache");
  expect(icon.headers.get("etag")).not.toBeNull();
});

test("the api answers no page, and a missing asset is no page either", async () => {
  await askProblem(`${api.url}/api/run`, 404);
  await askProblem(`${api.url}/assets/main-0000.js`, 404);
  const answer = await fetch(`${api.url}/api/counts`);
  expect(answer.headers.get("cache-control")).toBe("no-store");
});

test("the old address of a chart leads to the Bench and keeps its flag", async () => {
  const ask = (path: string): Promise<Response> => fetch(`${api.url}${path}`, { redirect: "manual" });
  const old = await ask("/chart/PO-A%3Apour.T1%3AOFW-2107?flag=PO-A%3A1%2F2");
  expect([old.status, old.headers.get("location")]).toEqual([
    302,
    "/bench/PO-A%3Apour.T1%3AOFW-2107?flag=PO-A%3A1%2F2",
  ]);
  // An id is no way to another host.
  expect((await ask("/chart/%2F%2Fexample.org")).headers.get("location")).toBe("/bench/%2F%2Fexample.org");
});

test.each([
  ["/nowhere", 404],
  ["/bench/a/b", 404],
  ["/run/%zz", 400],
])(
  "somebody who asks for a page at %s gets one that says there is none; a program gets a problem",
  async (path, status) => {
    const page = await fetch(`${api.url}${path}`, { headers: { accept: "text/html,application/xhtml+xml,*/*;q=0.8" } });
    expect([page.status, page.headers.get("content-type")?.slice(0, 9)]).toEqual([status, "text/html"]);
    expect(page.headers.get("cache-control")).toBe("no-cache");
    await askProblem(`${api.url}${path}`, status);
    // Nothing of the api is ever a page.
    const asked = await fetch(`${api.url}/api/nowhere`, { headers: { accept: "text/html" } });
    expect(asked.headers.get("content-type")).toMatch(/problem\+json/);
  },
);

test("a page may run and load nothing but our own files", async () => {
  const response = await fetch(`${api.url}/`);
  const policy = response.headers.get("content-security-policy") ?? "";
  const directives = new Map(
    policy.split(";").map((one) => [one.trim().split(" ")[0], one.trim().split(" ").slice(1)]),
  );
  expect(directives.get("default-src")).toEqual(["'none'"]);
  expect(directives.get("script-src")).toEqual(["'self'"]);
  expect(directives.get("style-src")).toEqual(["'self'"]);
  expect(directives.get("connect-src")).toEqual(["'self'", api.url.replace("http", "ws")]);
  expect(directives.get("frame-ancestors")).toEqual(["'none'"]);
  expect(policy).not.toMatch(/unsafe|upgrade-insecure-requests/);
  expect(response.headers.has("strict-transport-security")).toBe(false);
  expect(response.headers.get("x-content-type-options")).toBe("nosniff");
  expect(response.headers.has("x-powered-by")).toBe(false);
});

test("pages that are not built yet are said to be that", async () => {
  const bare = await runningApi();
  const problem = await askProblem(`${bare.url}/flags`, 503);
  expect(problem).toMatchObject({ code: "pages-not-built", detail: expect.stringContaining("npm run build") });
  await bare.stop();
});
