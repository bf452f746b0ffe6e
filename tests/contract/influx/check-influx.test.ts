import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { afterAll, beforeAll, expect, test } from "vitest";
import { Fault } from "../../../collector/platform/fault.ts";
import type { InfluxAccess } from "../../../collector/platform/influx-access.ts";
import { eventually } from "../../eventually.ts";
import { freePort } from "../../system/free-port.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";
import { reading } from "../store/incoming.ts";
import { accessTo, type ForwardRig, forwardRig } from "./forward-rig.ts";

const login = { user: "steadypour", password: "five boxes of sand" };
const basic = (words: string): string => `Basic ${Buffer.from(words).toString("base64")}`;

let server: InfluxServer;
let elsewhere: { readonly url: string; stop(): void };
beforeAll(async () => {
  server = await influxdb({ login });
  const page = createServer((_, response) => void response.writeHead(200).end("<html>hello</html>"));
  await new Promise<void>((resolve) => page.listen(0, "127.0.0.1", resolve));
  elsewhere = { url: `http://127.0.0.1:${(page.address() as AddressInfo).port}`, stop: () => page.close() };
}, 90_000);
afterAll(async () => {
  elsewhere.stop();
  await server.remove();
});

async function troubleOf(access: () => InfluxAccess): Promise<{ readonly code: string; readonly words: string }> {
  const rig: ForwardRig = forwardRig(access);
  try {
    rig.add([reading(Date.UTC(2026, 4, 20), 1)]);
    rig.begin();
    return await eventually("it is said", () => rig.forwarder().status().trouble, 30_000);
  } finally {
    await rig.remove();
  }
}

const authorization = basic(`${login.user}:${login.password}`);

test("with the right password it works, and the password stands nowhere", async () => {
  const rig = forwardRig(() => accessTo(server.url, { authorization }));
  rig.add([reading(Date.UTC(2026, 4, 20), 1)]);
  rig.begin();
  await rig.arrived();
  expect(rig.forwarder().status()).toMatchObject({ trouble: null, version: expect.stringMatching(/^1\.6/) });
  await rig.remove();
  expect(JSON.stringify(rig.said())).not.toMatch(/five boxes|Basic/);
});

test.each([
  [
    "a wrong password",
    () => accessTo(server.url, { authorization: basic("steadypour:wrong") }),
    "influx-refuses-us",
    /does not let us in, look at user, password or token: .*authorization failed/,
  ],
  ["no password", () => accessTo(server.url), "influx-refuses-us", /does not let us in/],
  [
    "no database",
    () => accessTo(server.url, { authorization, database: "nowhere" }),
    "influx-no-database",
    /no such database or bucket: .*nowhere/,
  ],
  [
    "no retention policy",
    () => accessTo(server.url, { authorization, retentionPolicy: "none" }),
    "influx-no-database",
    /no retention policy none on steadypour/,
  ],
  [
    "another version",
    () => accessTo(server.url, { version: 2, org: "o" }),
    "influx-wrong-version",
    /says that it is version 1\.6.*, the settings say 2/,
  ],
  ["something else", () => accessTo(elsewhere.url), "influx-wrong-version", /something else than InfluxDB/],
] as const)("%s is said in words", async (_, access, code, words) => {
  const trouble = await troubleOf(access);
  expect(trouble.code).toBe(code);
  expect(trouble.words).toMatch(words);
  expect(trouble.words).not.toContain("five boxes");
});

test("nobody there is said in words", async () => {
  const port = await freePort();
  const trouble = await troubleOf(() => accessTo(`http://127.0.0.1:${port}`));
  expect(trouble).toMatchObject({ code: "influx-away" });
  expect(trouble.words).toContain(`InfluxDB at 127.0.0.1:${port} does not answer: connect ECONNREFUSED`);
});

test("a password file that cannot be read is said, and taken up when it is there", async () => {
  let there = false;
  const access = (): InfluxAccess => {
    if (!there)
      throw new Fault("influx-access-unusable", "/etc/steadypour/influx-password: no use", { retryable: true });
    return accessTo(server.url, { authorization });
  };
  const rig = forwardRig(access);
  rig.add([reading(Date.UTC(2026, 4, 20), 1)]);
  rig.begin();
  await eventually("it is said", () => rig.forwarder().status().trouble?.code === "influx-access-unusable");
  there = true;
  await rig.arrived();
  await rig.remove();
});
