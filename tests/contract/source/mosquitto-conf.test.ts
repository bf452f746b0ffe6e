import { execFileSync } from "node:child_process";
import { chmodSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { connect, connectAsync } from "mqtt";
import { afterAll, beforeAll, expect, test } from "vitest";
import { eventually } from "../../eventually.ts";
import { requireCommand } from "../../system/find-command.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, start } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

// The settings that docker-compose.yml gives Mosquitto, tried on the Mosquitto of this machine: only ports and
// folders differ, because they belong to the container.
const folder = temporaryFolder();
const login = { username: "steadypour", password: "sixty bags of bead" };
let port: number;
let probePort: number;
let broker: RunningProcess;

beforeAll(async () => {
  port = await freePort();
  probePort = await freePort();
  const users = join(folder.path, "users");
  execFileSync(requireCommand("mosquitto_passwd", "mosquitto"), ["-b", "-c", users, login.username, login.password], {
    stdio: "pipe",
  });
  chmodSync(users, 0o600);
  const conf = readFileSync("collector/source/mosquitto.conf", "utf8")
    .replace("listener 1883", `listener ${port} 127.0.0.1`)
    .replace("listener 1880", `listener ${probePort}`)
    .replace("/run/secrets/broker-users", users)
    .replace("/mosquitto/data/", `${folder.path}/`);
  const path = join(folder.path, "mosquitto.conf");
  // Started by root it would change to its own user, who may not write here.
  writeFileSync(path, process.getuid?.() === 0 ? `${conf}\nuser root\n` : conf);
  broker = start(requireCommand("mosquitto"), ["-c", path]);
  await eventually("Mosquitto answers", async () => {
    const probe = await connectAsync(`mqtt://127.0.0.1:${probePort}`, { reconnectPeriod: 0, connectTimeout: 1_000 });
    await probe.endAsync();
    return true;
  });
});

afterAll(async () => {
  await broker.stop();
  folder.remove();
});

test("Mosquitto takes every line of the settings without complaint", () => {
  expect(broker.said()).not.toMatch(/error|unknown|deprecated|invalid/i);
});

test("it lets nobody in without a password but the health check of its own machine", async () => {
  await expect(connectAsync(`mqtt://127.0.0.1:${port}`, { reconnectPeriod: 0, connectTimeout: 2_000 })).rejects.toThrow(
    /authori/i,
  );
  const probe = await connectAsync(`mqtt://127.0.0.1:${probePort}`, { reconnectPeriod: 0 });
  const [granted] = await probe.subscribeAsync("health/probe", { qos: 0 });
  expect(granted?.qos).toBe(0);
  await probe.endAsync();
});

test("it keeps more than the default thousand messages for a product that is away", async () => {
  const url = `mqtt://127.0.0.1:${port}`;
  const away = { ...login, clientId: "product", clean: false, reconnectPeriod: 0 } as const;
  const product = await connectAsync(url, away);
  await product.subscribeAsync("ostrimvale/#", { qos: 1 });
  await product.endAsync();

  const gateway = await connectAsync(url, { ...login, reconnectPeriod: 0 });
  const sent = 3_000;
  await Promise.all(
    Array.from({ length: sent }, (_, n) => gateway.publishAsync("ostrimvale/GW-PR/readings", String(n), { qos: 1 })),
  );
  await gateway.endAsync();

  const got: number[] = [];
  // Listens before it connects: what was queued comes at once.
  const again = connect(url, away);
  again.on("message", (_, payload) => got.push(Number(payload.toString())));
  await eventually("all that was queued arrives", () => got.length >= sent);
  await again.endAsync();
  expect(new Set(got).size).toBe(sent);
  expect(got.length).toBe(sent);
});
