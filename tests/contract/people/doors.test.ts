import { request } from "node:http";
import { connect, type Socket } from "node:net";
import { connectAsync } from "mqtt";
import { afterEach, expect, test } from "vitest";
import { WebSocket } from "ws";
import { openHttpDoor } from "../../../api/http-door.ts";
import { hashSecret } from "../../../api/people/secrets.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { brokerUsers } from "../../../collector/source/broker-users.ts";
import { type EmbeddedBroker, embeddedBroker } from "../../../collector/source/embedded-broker.ts";
import { eventually } from "../../eventually.ts";
import { as } from "../api/as.ts";
import { askProblem, post } from "../api/ask.ts";
import { type RunningApi, runningApi } from "../api/running-api.ts";

const ends: (() => unknown)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});

async function started(): Promise<RunningApi> {
  const api = await runningApi();
  ends.push(api.stop);
  return api;
}

/** As a browser that was led here under a strange name sends it. */
function asHost(url: string, host: string, path = "/api/floor"): Promise<number> {
  return new Promise((resolve, reject) => {
    const { hostname, port } = new URL(url);
    const asked = request({ hostname, port, path, headers: { host } }, (response) => {
      response.resume();
      resolve(response.statusCode ?? 0);
    });
    asked.on("error", reject).end();
  });
}

test("a name that was made to lead here is not ours; addresses, localhost and names of the settings are", async () => {
  const { url } = await started();
  expect(await asHost(url, "rebound.example")).toBe(421);
  expect(await asHost(url, "localhost.rebound.example:80")).toBe(421);
  for (const own of ["127.0.0.1", "10.1.2.3:8080", "[::1]:8080", "localhost:1", "plant.example", "PLANT.example:443"]) {
    expect(await asHost(url, own), own).toBe(200);
  }
});

test("64 MiB in one body is refused and not kept in memory", async () => {
  const { url } = await started();
  const before = process.memoryUsage.rss();
  const chunk = Buffer.alloc(1_048_576, 0x20);
  for (const path of ["/api/session", "/api/readings", "/api/flags/x/done"]) {
    const { hostname, port } = new URL(url);
    const status = await new Promise<number>((resolve) => {
      const headers = { ...as("early-lead"), "content-type": "application/json", "content-length": 64 * 1_048_576 };
      const sent =
        path === "/api/readings" ? { "content-type": "application/json", "content-length": 64 * 1_048_576 } : headers;
      const asked = request({ hostname, port, path, method: "POST", headers: sent }, (response) => {
        resolve(response.statusCode ?? 0);
        asked.destroy();
      });
      asked.on("error", () => resolve(-1));
      for (let n = 0; n < 64; n += 1) asked.write(chunk);
    });
    // Refused by its length; where our answer is lost because the sender still sends, the connection was closed instead.
    expect([413, -1], path).toContain(status);
  }
  expect((await fetch(`${url}/healthz`)).status).toBe(200);
  expect(process.memoryUsage.rss() - before).toBeLessThan(3 * 64 * 1_048_576);
});

test("paths that climb out of the folder of the pages lead nowhere", async () => {
  const { url } = await started();
  for (const path of [
    "/assets/",
    "/.git/config",
    "/api/characteristics/..%2f..%2fpackage.json/bench",
    "/api/runs/%2e%2e%2f%2e%2e%2fpackage.json",
    "/../package.json",
    "/assets/..%2f..%2fpackage.json",
    "/%2e%2e/package.json",
    "/assets/%5c..%5c..%5cpackage.json",
    "/..%00/x",
  ]) {
    const status = await asHost(url, "127.0.0.1", path);
    expect([400, 403, 404, 503], path).toContain(status);
  }
});

test("of a thousand sockets of one client fifty are let in, and others go on", async () => {
  const { url, liveClients } = await started();
  const sockets: WebSocket[] = [];
  ends.push(() => {
    for (const socket of sockets) socket.terminate();
  });
  let refused = 0;
  for (let batch = 0; batch < 10; batch += 1) {
    await Promise.all(
      Array.from(
        { length: 100 },
        () =>
          new Promise<void>((resolve) => {
            const socket = new WebSocket(`${url.replace("http", "ws")}/live`);
            sockets.push(socket);
            socket.once("open", resolve);
            socket.once("error", () => {
              refused += 1;
              resolve();
            });
          }),
      ),
    );
  }
  expect({ in: liveClients(), refused }).toEqual({ in: 50, refused: 950 });
  expect((await fetch(`${url}/api/floor`)).status).toBe(200);
});

test("a page that says anything on the live stream is let go", async () => {
  const { url } = await started();
  const socket = new WebSocket(`${url.replace("http", "ws")}/live`);
  await new Promise((resolve) => socket.once("open", resolve));
  const closed = new Promise<number>((resolve) => socket.once("close", resolve));
  socket.send("hello");
  expect(await closed).toBe(1008);
});

test("a connection that has asked stays open for longer than anybody waits between two looks, and says so", async () => {
  const door = await openHttpDoor({ http: { host: "127.0.0.1", port: 0 }, tls: null });
  ends.push(door.close);
  expect((await fetch(`${door.url}/healthz`)).headers.get("keep-alive")).toBe("timeout=75");
});

/** Ten thousand, or what this process may open: both ends are in it. */
const { open_files: files } = (
  process.report.getReport() as unknown as { userLimits: { open_files: { soft: number | "unlimited" } } }
).userLimits;
const many = files.soft === "unlimited" ? 10_000 : Math.min(10_000, files.soft - 2_500);

test("connections that never finish asking are bounded in number, time and memory, and readings go on coming in", async () => {
  const door = await openHttpDoor({ http: { host: "127.0.0.1", port: 0 }, tls: null });
  ends.push(door.close);
  const broker = embeddedBroker({ host: "127.0.0.1", port: 0, clock: systemClock });
  let taken = 0;
  await broker.start((_message, settled) => {
    taken += 1;
    settled();
  });
  ends.push(broker.stop);
  const { port } = new URL(door.url);
  const slow: Socket[] = [];
  let gone = 0;
  ends.push(() => {
    for (const socket of slow) socket.destroy();
  });
  const client = await connectAsync(`mqtt://127.0.0.1:${broker.port()}`, { protocolVersion: 4 });
  ends.push(() => client.endAsync(true));
  const before = process.memoryUsage.rss();
  const places = () =>
    new Promise<number>((resolve, reject) => {
      door.server.getConnections((error, count) => (error === null ? resolve(count) : reject(error)));
    });
  for (let n = 0; n < many; n += 1) {
    if (n % 250 === 0) {
      // Amid them each reading is acknowledged as it comes, and of places there is an end at every moment.
      await client.publishAsync("ostrimvale/GW-PR/readings", "{}", { qos: 1 });
      expect(taken).toBe(n / 250 + 1);
      expect(await places()).toBeLessThanOrEqual(1_000);
    }
    const socket = connect(Number(port), "127.0.0.1");
    socket.on("error", () => undefined);
    socket.resume();
    socket.once("close", () => (gone += 1));
    socket.write("POST /api/session HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ");
    slow.push(socket);
  }
  await eventually("those beyond a thousand are turned away", () => gone >= many - 1_000, 60_000);
  expect(await places()).toBeLessThanOrEqual(1_000);
  // Ours and the ten thousand senders' together, which are in this process as well.
  expect(process.memoryUsage.rss() - before).toBeLessThan(256 * 1_048_576);
  const amid = taken;
  for (let n = 0; n < 20; n += 1) await client.publishAsync("ostrimvale/GW-PR/readings", "{}", { qos: 1 });
  expect(taken).toBe(amid + 20);
  await eventually("the others are given up after ten seconds", () => gone === many);
});

test("nothing of a body's names reaches the log or the record as anything but text", async () => {
  const api = await started();
  const note = '=cmd|"/c calc"!A1\n{"level":60} <script>alert(1)</script> \u2028x,y=1 1';
  const body = { by: "nobody\nlevel=60", pin: "1", cause: "trap", note };
  const problem = await askProblem(`${api.url}/api/flags/none/done`, 404, post(body));
  expect(problem.code).toBe("unknown-flag");
  expect(api.data.record.verify()).toMatchObject({ ok: true });
  const answer = await fetch(`${api.url}/api/flags/%3Cscript%3E/take`, post({}, as("early-lead")));
  expect(answer.headers.get("content-type")).toMatch(/^application\/problem\+json/);
  expect(answer.headers.get("x-content-type-options")).toBe("nosniff");
});

let broker: EmbeddedBroker;
const password = "gateway under the stairs";

async function guarded(): Promise<{ topics: string[]; url: string }> {
  const topics: string[] = [];
  const users = [
    {
      user: "gw-pr",
      password: await hashSecret(password),
      publish: ["ostrimvale/GW-PR/#"],
      subscribe: ["ostrimvale/+/state"],
    },
  ];
  broker = embeddedBroker({ host: "127.0.0.1", port: 0, clock: systemClock, users: brokerUsers(users, false) });
  await broker.start(({ topic }, settled) => {
    topics.push(topic);
    settled();
  });
  ends.push(broker.stop);
  return { topics, url: `mqtt://127.0.0.1:${broker.port()}` };
}

const once = { protocolVersion: 4, reconnectPeriod: 0, connectTimeout: 10_000 } as const;

test("beyond this machine a sender needs user and password", async () => {
  const { url } = await guarded();
  await expect(connectAsync(url, once)).rejects.toThrow(/Not authorized/);
  await expect(connectAsync(url, { ...once, username: "gw-pr", password: "x" })).rejects.toThrow(/Not authorized/);
  await expect(connectAsync(url, { ...once, username: "nobody", password })).rejects.toThrow(/Not authorized/);
  const client = await connectAsync(url, { ...once, username: "gw-pr", password });
  await client.endAsync();
});

/** By user what the settings give each; whoever is in none of them may nothing. */
const given = {
  press: { publish: ["ostrimvale/GW-PR/#"], subscribe: ["ostrimvale/GW-PR/state"] },
  dryer: { publish: ["ostrimvale/+/readings"], subscribe: [] },
  listener: { publish: [], subscribe: ["ostrimvale/#"] },
} as const;
const topics = [
  ...["ostrimvale/GW-PR/readings", "ostrimvale/GW-PR/state", "ostrimvale/GW-DR/readings", "ostrimvale/GW-DR/state"],
  ...["elsewhere/GW-PR/readings", "ostrimvale", "$SYS/broker/uptime", "$share/all/ostrimvale/GW-PR/state"],
];
/** Written out by hand: which of the topics above each may send to, and hear. */
const table: Readonly<Record<string, { readonly send: readonly number[]; readonly hear: readonly number[] }>> = {
  press: { send: [0, 1], hear: [1] },
  dryer: { send: [0, 2], hear: [] },
  listener: { send: [], hear: [0, 1, 2, 3, 5] },
  stranger: { send: [0, 1, 2, 3, 4, 5], hear: [0, 1, 2, 3, 4, 5] },
};

test("every user x every topic: sent and heard as the settings say, and what they do not name is refused", async () => {
  const hash = await hashSecret(password);
  const users = Object.entries(given).map(([user, { publish, subscribe }]) => {
    return { user, password: hash, publish: [...publish], subscribe: [...subscribe] };
  });
  // Open to strangers, as on this machine alone: a user's own rights are no wider for it.
  broker = embeddedBroker({ host: "127.0.0.1", port: 0, clock: systemClock, users: brokerUsers(users, true) });
  const came: string[] = [];
  await broker.start(({ topic }, settled) => {
    came.push(topic);
    settled();
  });
  ends.push(broker.stop);
  const url = `mqtt://127.0.0.1:${broker.port()}`;
  for (const [who, { send, hear }] of Object.entries(table)) {
    const login = who === "stranger" ? {} : { username: who, password };
    const connected = async () => {
      const client = await connectAsync(url, { ...once, ...login });
      client.on("error", () => undefined);
      return client;
    };
    for (const [nth, topic] of topics.entries()) {
      came.length = 0;
      const sender = await connected();
      const closed = new Promise<void>((resolve) => sender.once("close", () => resolve()));
      await Promise.race([sender.publishAsync(topic, "{}", { qos: 1 }).catch(() => undefined), closed]);
      await sender.endAsync(true);
      expect(came, `${who} sends to ${topic}`).toEqual(send.includes(nth) ? [topic] : []);
      const listener = await connected();
      const granted = await listener.subscribeAsync(topic, { qos: 0 }).then(
        (grants) => grants.every(({ qos }) => qos < 128),
        () => false,
      );
      await listener.endAsync(true);
      expect(granted, `${who} hears ${topic}`).toBe(hear.includes(nth));
    }
  }
}, 60_000);

test.each([
  ["ostrimvale/GW-PR/readings", true],
  ["ostrimvale/GW-DR/readings", false],
  ["ostrimvale", false],
  ["$SYS/x", false],
])("a user's rights: %s may be sent: %s", async (topic, may) => {
  const { url, topics } = await guarded();
  const client = await connectAsync(url, { ...once, username: "gw-pr", password });
  client.on("error", () => undefined);
  const closed = new Promise<boolean>((resolve) => client.once("close", () => resolve(false)));
  const sent = client.publishAsync(topic, "{}", { qos: 1 }).then(
    () => true,
    () => false,
  );
  expect(await Promise.race([sent, closed])).toBe(may);
  expect(topics).toEqual(may ? [topic] : []);
  await client.endAsync(true);
});

test.each([
  ["ostrimvale/GW-PR/state", true],
  ["ostrimvale/+/state", true],
  ["ostrimvale/#", false],
  ["#", false],
  ["$SYS/#", false],
  ["ostrimvale/GW-PR/readings", false],
])("a user's rights: %s may be heard: %s", async (filter, may) => {
  const { url } = await guarded();
  const client = await connectAsync(url, { ...once, username: "gw-pr", password });
  const granted = await client.subscribeAsync(filter, { qos: 0 }).then(
    (grants) => grants.every(({ qos }) => qos < 128),
    () => false,
  );
  expect(granted).toBe(may);
  await client.endAsync(true);
});
