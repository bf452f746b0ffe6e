import { request } from "node:http";
import { afterAll, beforeAll, expect, test } from "vitest";
import { problemSchema } from "../../../api/contract/wire.ts";
import { InfluxTrouble } from "../../../collector/store/influx/influx-trouble.ts";
import { askProblem } from "./ask.ts";
import { plateau } from "./press-entries.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
beforeAll(async () => {
  api = await runningApi();
});
afterAll(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

test.each([
  ["/api/flags?stat=open", "query", '"stat"', "one of limit, after, state"],
  ["/api/flags?state=opened", "query/state", '"opened"', "waiting, taken, done, or open for the first two"],
  ["/api/flags?limit=0", "query/limit", '"0"', "a whole number from 1 to 1000"],
  ["/api/flags?limit=1001", "query/limit", '"1001"', "a whole number from 1 to 1000"],
  ["/api/flags?limit=1e2", "query/limit", '"1e2"', "a whole number from 1 to 1000"],
  ["/api/flags?limit=", "query/limit", '""', "a whole number from 1 to 1000"],
  ["/api/runs?limit=5&limit=6", "query/limit", '["5","6"]', "string, received array"],
  ["/api/runs?station=PR-99", "query/station", '"PR-99"', "one of PR-01, PR-02"],
  ["/api/runs?from=yesterday", "query/from", '"yesterday"', "an instant such as 2026-11-25T08:05:12.345Z"],
  ["/api/runs?from=2026-11-25T08:05:12", "query/from", '"2026-11-25T08:05:12"', "an instant such as"],
  ["/api/readings", "query/series", "nothing", "string"],
  ["/api/readings?series=PR-01/presure", "query/series", '"PR-01/presure"', "a series such as PR-01/pressure"],
  ["/api/trend?series=PR-01/pressure&from=5", "query/to", "nothing", "string"],
  ["/api/trend?series=PR-01/pressure&from=5&to=5", "query/to", "1970", "an instant after from"],
  ["/api/trend?series=PR-01/pressure&from=5&to=9&columns=4001", "query/columns", '"4001"', "from 1 to 4000"],
  ["/api/quarantine?after=%25", "query/after", '"%"', "the text that stood in `next` of the page before"],
  ["/api/counts?fresh=1", "query", '"fresh"', "nothing"],
  [`/api/characteristics/${plateau}/points?order=up`, "query/order", '"up"', "newest-first or oldest-first"],
])("%s is answered with what is wrong, where, and what was expected", async (path, place, found, expected) => {
  const problem = await askProblem(`${api.url}${path}`, 400);
  expect(problem.errors).toEqual([
    { place, found: expect.stringContaining(found), expected: expect.stringContaining(expected) },
  ]);
});

test("all mistakes of a request are told at once", async () => {
  const { errors } = await askProblem(`${api.url}/api/runs?limit=x&from=y&statoin=PR-01`, 400);
  expect(errors?.map(({ place }) => place).sort()).toEqual(["query", "query/from", "query/limit"]);
});

test.each([
  "/api/flags",
  "/api/runs",
  "/api/quarantine",
  "/api/characteristics",
  "/api/readings?series=PR-01/pressure",
])("%s takes no cursor but its own", async (path) => {
  const made = Buffer.from('["another","list",{}]').toString("base64url");
  const joint = path.includes("?") ? "&" : "?";
  expect((await askProblem(`${api.url}${path}${joint}after=${made}`, 400)).code).toBe("bad-cursor");
  expect((await askProblem(`${api.url}${path}${joint}after=AAAA`, 400)).code).toBe("bad-cursor");
});

test.each([
  ["/api/nothing", "no-such-path"],
  ["/nothing", "no-such-path"],
  ["/assets/gone.js", "no-such-path"],
  ["/api/flags/none", "unknown-flag"],
  ["/api/runs/none", "unknown-run"],
  ["/api/characteristics/none", "unknown-characteristic"],
  ["/api/characteristics/none/points", "unknown-characteristic"],
])("%s is not found", async (path, code) => {
  expect((await askProblem(`${api.url}${path}`, 404)).code).toBe(code);
});

test("a path that is no percent-encoding is said to be that", async () => {
  expect((await askProblem(`${api.url}/api/flags/%E0%A4%A`, 400)).code).toBe("bad-path");
});

test("another method is told which ones there are", async () => {
  const response = await fetch(`${api.url}/api/counts`, { method: "DELETE" });
  expect(response.status).toBe(405);
  expect(response.headers.get("allow")).toBe("GET, HEAD");
  expect(problemSchema.parse(await response.json()).code).toBe("method-not-allowed");
});

test("a page of another site may not change anything, as its browser tells", async () => {
  const { port } = new URL(api.url);
  const headers = { "sec-fetch-site": "cross-site", "content-type": "application/json" };
  const status = await new Promise((resolve, reject) => {
    const asked = request({ port, host: "127.0.0.1", path: "/api/flags/x/take", method: "POST", headers });
    asked.on("response", (response) => {
      response.resume();
      resolve(response.statusCode);
    });
    asked.on("error", reject);
    asked.end('{"by":"x"}');
  });
  expect(status).toBe(403);
});

test("a store that fails is our fault: the answer says no more, the log hears all", async () => {
  const broken = await runningApi();
  const failure = new Error("the disk is gone");
  const { samples } = broken.data;
  const counts = samples.counts;
  Object.assign(samples, {
    counts: () => {
      throw failure;
    },
  });
  const response = await fetch(`${broken.url}/api/counts`);
  Object.assign(samples, { counts });
  expect(response.status).toBe(500);
  const problem = problemSchema.parse(await response.json());
  expect(problem.code).toBe("internal");
  expect(JSON.stringify(problem)).not.toContain("disk");
  expect(broken.defects).toEqual([failure]);
  await broken.stop();
});

test("what is in a long-term store that does not answer is a 503 that says so", async () => {
  const away = (): Promise<never> =>
    Promise.reject(
      new InfluxTrouble("away", "influx-away", "InfluxDB at influx:8086 does not answer: connect ECONNREFUSED"),
    );
  const beside = await runningApi({ readings: { read: away, trend: away } });
  try {
    const span = "series=PR-01/pressure&from=2025-01-01T00:00:00Z&to=2025-02-01T00:00:00Z";
    for (const path of [`/api/trend?${span}`, `/api/readings?${span}`]) {
      const problem = await askProblem(`${beside.url}${path}`, 503);
      expect(problem.code).toBe("long-term-store-away");
      expect(problem.detail).toContain("InfluxDB at influx:8086 does not answer");
    }
    expect(beside.defects).toEqual([]);
  } finally {
    await beside.stop();
  }
});
