import { existsSync, writeFileSync } from "node:fs";
import { createServer, type Server } from "node:net";
import { networkInterfaces } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { eventually } from "../../eventually.ts";
import { partOfDemo } from "../../part-of-demo.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { ask } from "./ask.ts";

/** Starts what was built: `npm test` builds before it tests. */
const started: RunningProcess[] = [];
const blockers: Server[] = [];
let folder: ReturnType<typeof temporaryFolder>;
let environment: Record<string, string>;

beforeEach(async () => {
  folder = temporaryFolder();
  const config = join(folder.path, "site.yaml");
  writeFileSync(config, partOfDemo("PR-01"));
  environment = {
    STEADYPOUR_CONFIG: config,
    STEADYPOUR_DATA: join(folder.path, "data"),
    STEADYPOUR_HTTP_PORT: String(await freePort()),
    STEADYPOUR_MQTT_PORT: String(await freePort()),
  };
});
afterEach(async () => {
  for (const one of started.splice(0)) await one.stop();
  for (const one of blockers.splice(0)) await new Promise((resolve) => one.close(resolve));
  folder.remove();
});

function product(changes: Readonly<Record<string, string>> = {}): RunningProcess {
  const one = startNode(["dist/api/main.js"], { ...environment, ...changes });
  started.push(one);
  return one;
}

const url = (host = "127.0.0.1"): string => `http://${host}:${environment["STEADYPOUR_HTTP_PORT"]}`;

async function ready(one: RunningProcess): Promise<void> {
  await one.says(/"started"/);
  await ask(`${url()}/readyz`, endpoints.readyz.answer);
}

/** Something else on the port. */
function block(port: string | undefined): Promise<void> {
  const server = createServer();
  blockers.push(server);
  return new Promise((resolve) => server.listen(Number(port), "127.0.0.1", resolve));
}

test("it starts, is ready, says only log lines, and ends with 0 when asked to, twice in a row", async () => {
  const one = product();
  await ready(one);
  const floor = await ask(`${url()}/api/floor`, endpoints.floor.answer);
  expect(floor.site.name).toBe("Ostrimvale Foamcast Works");
  expect(floor.freshness.every(({ state }) => state === "never")).toBe(true);
  one.signal("SIGINT");
  one.signal("SIGINT");
  expect(await one.exit()).toBe(0);
  const [first, ...lines] = one
    .said()
    .trim()
    .split("\n")
    .sort((a, b) => Number(a.startsWith("{")) - Number(b.startsWith("{")));
  expect(first).toMatch(
    /^first administrator: open http:\/\/127\.0\.0\.1:\d+\/welcome#first\.[\w-]{43} within 24 hours/,
  );
  for (const line of lines) expect(JSON.parse(line)).toHaveProperty("msg");
});

test("it listens on the loopback unless told otherwise", async () => {
  await ready(product());
  const other = Object.values(networkInterfaces()).flatMap((all) => all ?? []);
  const outside = other.find(({ internal, family }) => !internal && family === "IPv4")?.address;
  for (const address of [outside ?? [], "127.0.0.2"].flat()) {
    await expect(fetch(`${url(address)}/healthz`)).rejects.toThrow();
  }
});

test.each([
  ["HTTP", "STEADYPOUR_HTTP_PORT", "STEADYPOUR_MQTT_PORT", false],
  ["MQTT", "STEADYPOUR_MQTT_PORT", "STEADYPOUR_HTTP_PORT", true],
])("with the %s port taken it says so, names the setting, and ends with 2", async (_words, name, other, dataMade) => {
  await block(environment[name]);
  const one = product();
  expect(await one.exit()).toBe(2);
  expect(one.said()).toContain(`127.0.0.1:${environment[name]} is taken by another program`);
  expect(one.said()).toContain(name);
  expect(existsSync(environment["STEADYPOUR_DATA"] ?? "")).toBe(dataMade);
  await expect(fetch(`http://127.0.0.1:${environment[other]}`)).rejects.toThrow();
});

test("over a data folder in use it says so and ends with 2, and the first goes on", async () => {
  await ready(product());
  const second = product({
    STEADYPOUR_HTTP_PORT: String(await freePort()),
    STEADYPOUR_MQTT_PORT: String(await freePort()),
  });
  expect(await second.exit()).toBe(2);
  expect(second.said()).toContain("another Steadypour already writes into");
  await ask(`${url()}/readyz`, endpoints.readyz.answer);
});

test("bad settings are all told, with line and what was expected, and nothing is started", async () => {
  const file = join(folder.path, "site.yaml");
  writeFileSync(file, "site: { name: Works, zone: Nowhere/None, ambientPressureHpa: 5 }\nstatoins: []\n");
  const one = product({ STEADYPOUR_CONFIG: file });
  expect(await one.exit()).toBe(2);
  expect(one.said()).toMatch(/site\.yaml:1:\d+: site\.ambientPressureHpa: found 5, expected/);
  expect(one.said()).toMatch(/site\.yaml:2:1: statoins/);
  expect(existsSync(environment["STEADYPOUR_DATA"] ?? "")).toBe(false);
});

test("a bad environment is told whole and ends with 2", async () => {
  const one = product({ STEADYPOUR_HTTP_PORT: "80800", STEADYPOUR_PROT: "1" });
  expect(await one.exit()).toBe(2);
  expect(one.said()).toContain("STEADYPOUR_HTTP_PORT: found 80800, expected a port from 0 to 65535");
  expect(one.said()).toContain("STEADYPOUR_PROT: no such variable");
});

test("with a broker that does not answer it runs, and is not ready, with the reason", async () => {
  const one = product({ STEADYPOUR_BROKER_URL: `mqtt://127.0.0.1:${await freePort()}` });
  await one.says(/"started"/);
  const problem = await eventually("the reason", async () => {
    const response = await fetch(`${url()}/readyz`);
    expect(response.status).toBe(503);
    return (await response.json()) as { errors: { place: string; found: string }[] };
  });
  expect(problem.errors).toMatchObject([{ place: "source" }]);
  expect((await ask(`${url()}/healthz`, endpoints.healthz.answer)).status).toBe("alive");
  one.signal("SIGTERM");
  expect(await one.exit()).toBe(0);
});

test("killed without warning it starts again over the same data", async () => {
  const one = product();
  await ready(one);
  one.signal("SIGKILL");
  await one.exit();
  await ready(product());
});
