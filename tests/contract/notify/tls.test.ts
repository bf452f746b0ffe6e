import { readFileSync, statSync, writeFileSync } from "node:fs";
import type { IncomingMessage } from "node:http";
import { type RequestOptions, request } from "node:https";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { WebSocket } from "ws";
import { startSite } from "../../e2e/running-site.ts";
import { startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "./throw-away-authority.ts";

let authority: ThrowAwayAuthority;
beforeAll(() => {
  authority = throwAwayAuthority();
});
afterAll(() => authority?.remove());

/** The real product on ports that it chooses. */
function product(more: Readonly<Record<string, string>>) {
  const data = temporaryFolder();
  const started = startNode(["dist/api/main.js"], {
    ...{ STEADYPOUR_CONFIG: "simulator/ostrimvale.yaml", STEADYPOUR_DATA: data.path },
    ...{ STEADYPOUR_HTTP_PORT: "0", STEADYPOUR_MQTT_PORT: "0" },
    ...more,
  });
  const end = async (): Promise<number | null> => {
    const code = await started.stop();
    data.remove();
    return code;
  };
  return { started, end };
}

test("with certificate and key it speaks TLS, on the pages and on the live stream", async () => {
  const { started, end } = product({ STEADYPOUR_TLS_CERT: authority.certFile, STEADYPOUR_TLS_KEY: authority.keyFile });
  const [, url] = await started.says(/"http":"(https:\/\/[^"]+)"/, 30_000);
  const asked = (path: string, options: RequestOptions = {}, body = ""): Promise<IncomingMessage> =>
    new Promise((resolve, reject) => {
      const sent = request(`${url}${path}`, { ca: authority.authority, agent: false, ...options }, (response) => {
        response.resume();
        resolve(response);
      });
      sent.on("error", reject).end(body);
    });
  const { statusCode, headers } = await asked("/healthz");
  expect(statusCode).toBe(200);
  expect(headers["content-security-policy"]).toContain("wss://");
  expect(headers["strict-transport-security"]).toBe("max-age=31536000");
  // Cookies go over TLS alone, and no other host of the same name can have set them.
  const json = { method: "POST", headers: { "content-type": "application/json" } };
  const out = await asked("/api/session/end", json, "{}");
  for (const cookie of out.headers["set-cookie"] ?? []) expect(cookie).toMatch(/^__Host-steadypour.*; Secure/);
  expect(out.headers["set-cookie"]).toHaveLength(2);
  await expect(asked("/healthz", { maxVersion: "TLSv1.1" })).rejects.toThrow();
  // Nothing is answered, and nothing redirected, without it.
  await expect(fetch(`${url!.replace("https", "http")}/healthz`)).rejects.toThrow();
  const hello = await new Promise<string>((resolve, reject) => {
    const socket = new WebSocket(`${url!.replace("https", "wss")}/live`, { ca: authority.authority });
    socket.once("message", (data) => {
      socket.close();
      resolve(String(data));
    });
    socket.once("error", reject);
  });
  expect(JSON.parse(hello)).toMatchObject({ type: "hello" });
  expect(started.said()).not.toContain("plain HTTP");
  expect(await end()).toBe(0);
});

test("a certificate that is none, and a key of another one, end it with what is wrong", async () => {
  const folder = temporaryFolder();
  const none = join(folder.path, "none.pem");
  writeFileSync(none, "no certificate");
  for (const cert of [none, join(folder.path, "missing.pem")]) {
    const { started, end } = product({ STEADYPOUR_TLS_CERT: cert, STEADYPOUR_TLS_KEY: authority.keyFile });
    expect(await started.exit(30_000)).toBe(2);
    expect(started.said()).toMatch(/no TLS with the files of STEADYPOUR_TLS_CERT/);
    await end();
  }
  folder.remove();
});

test("plain HTTP beyond this machine says at the start what it costs; on this machine it costs nothing", async () => {
  const open = product({ STEADYPOUR_HTTP_HOST: "0.0.0.0" });
  await open.started.says(/no phone can be set up for messages/, 30_000);
  await open.end();
  const own = product({});
  await own.started.says(/"started"/, 30_000);
  expect(own.started.said()).not.toContain("plain HTTP");
  await own.end();
});

test("the key of this server for messages is made once, for its owner's eyes alone", async () => {
  const folder = temporaryFolder();
  const config = join(folder.path, "site.yaml");
  const demo = readFileSync("simulator/ostrimvale.yaml", "utf8").replace(/^messages:.*$/m, "");
  writeFileSync(config, `${demo}\nmessages: { contact: "mailto:process@ostrimvale.example" }\n`);
  const site = await startSite(config);
  const file = join(site.environment["STEADYPOUR_DATA"]!, "vapid.pem");
  const key = readFileSync(file, "utf8");
  expect(statSync(file).mode & 0o777).toBe(0o600);
  const setUp = await site.ask<{ publicKey: string }>("/api/messages/set-up");
  expect(Buffer.from(setUp.publicKey, "base64url")).toHaveLength(65);
  await site.kill();
  await site.restart();
  expect(readFileSync(file, "utf8")).toBe(key);
  expect(await site.ask("/api/messages/set-up")).toMatchObject({ publicKey: setUp.publicKey });
  await site.stop();
  folder.remove();
});
