import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { postedSchema } from "../../../api/contract/wire.ts";
import { eventually } from "../../eventually.ts";
import { partOfDemo } from "../../part-of-demo.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { ask, post } from "../api/ask.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";

const login = { user: "steadypour", password: "sixty bags of bead" };

let server: InfluxServer;
let folder: ReturnType<typeof temporaryFolder>;
let environment: Record<string, string>;
let running: RunningProcess | null = null;
beforeEach(async () => {
  server = await influxdb({ login });
  folder = temporaryFolder();
  const passwordFile = join(folder.path, "password");
  writeFileSync(passwordFile, `${login.password}\n`);
  const config = join(folder.path, "site.yaml");
  writeFileSync(config, partOfDemo("PR-01"));
  environment = {
    STEADYPOUR_CONFIG: config,
    STEADYPOUR_DATA: join(folder.path, "data"),
    STEADYPOUR_HTTP_PORT: String(await freePort()),
    STEADYPOUR_MQTT_PORT: String(await freePort()),
    STEADYPOUR_INFLUX_URL: server.url,
    STEADYPOUR_INFLUX_DATABASE: "steadypour",
    STEADYPOUR_INFLUX_USER: login.user,
    STEADYPOUR_INFLUX_PASSWORD_FILE: passwordFile,
  };
}, 90_000);
afterEach(async () => {
  await running?.stop();
  await server.remove();
  folder.remove();
});

async function product(): Promise<RunningProcess> {
  const one = startNode(["dist/api/main.js"], environment);
  running = one;
  await one.says(/"started"/, 60_000);
  return one;
}
const url = (path: string): string => `http://127.0.0.1:${environment["STEADYPOUR_HTTP_PORT"]}${path}`;
const longTerm = async () => (await ask(url("/api/counts"), endpoints.counts.answer)).longTerm;

const t = Math.floor(Date.now() / 1_000) * 1_000 - 60_000;
function send(fromMs: number): Promise<unknown> {
  const readings = Array.from({ length: 20 }, (_, i) => ({
    ...{ series: "PR-01/pressure", t: fromMs + i * 50, value: 0.7 + i / 100, unit: "bar" },
  }));
  return ask(url("/api/readings"), postedSchema, post({ v: 1, kind: "readings", source: "GW-PR", seq: 1, readings }));
}

test("by variables alone readings go there, and a store that hangs or dies changes neither taking in nor stopping", async () => {
  const one = await product();
  await send(t);
  const there = async (count: number): Promise<boolean> =>
    (await server.ask('SELECT count("mark") FROM "reading" WHERE time > 0'))[0]?.["count"] === count;
  await eventually("they are there", () => there(20), 30_000);
  expect(await longTerm()).toMatchObject({ trouble: null, version: expect.stringMatching(/^1\.6/), refusedLines: 0 });
  expect(await (await fetch(url("/metrics"))).text()).toContain("steadypour_long_term_working 1");

  server.pause();
  expect(await send(t + 10_000)).toMatchObject({ stored: 20 });
  expect(await one.stop()).toBe(0);
  const again = await product();
  expect(await send(t + 20_000)).toMatchObject({ stored: 20 });
  server.resume();
  await eventually("what came meanwhile is there as well", () => there(60), 60_000);
  await server.kill();
  expect(await send(t + 30_000)).toMatchObject({ stored: 20 });
  await eventually("it says so", async () => (await longTerm())?.trouble?.code === "influx-away", 30_000);
  const { columns } = await ask(
    url(`/api/trend?series=PR-01/pressure&from=${new Date(t).toISOString()}&to=${new Date(t + 40_000).toISOString()}`),
    endpoints.trend.answer,
  );
  expect(columns.reduce((sum, { readings }) => sum + readings, 0)).toBe(80);
  await server.start();
  await eventually("all is there", () => there(80), 120_000);
  expect(await again.stop()).toBe(0);
  expect(again.said()).not.toContain(login.password);
}, 240_000);
