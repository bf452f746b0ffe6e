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
  "/chart/PO-A%3Apour.T1%3AOFW-2107?flag=x",
  "/bench",
  "/bench/PR-01%3Amold.plateau",
  "/limits",
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
