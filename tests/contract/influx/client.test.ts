import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { afterEach, expect, test, vi } from "vitest";
import { CHUNK_LINES, influxWriter } from "../../../collector/store/influx/influx-writer.ts";
import { freePort } from "../../system/free-port.ts";
import { accessTo } from "./forward-rig.ts";

// What we lean on in the client's ways: a new version of it that does otherwise fails here.

interface Heard {
  readonly path: string;
  readonly encoding: string | undefined;
  readonly authorization: string | undefined;
}

let server: Server | null = null;
afterEach(() => {
  server?.closeAllConnections();
  server?.close();
  server = null;
});

/** Answers every write alike; tells what it heard and over how many connections. */
async function answering(
  status: number,
  headers: Readonly<Record<string, string>> = {},
): Promise<{ readonly url: string; readonly heard: Heard[]; connections(): number }> {
  const heard: Heard[] = [];
  let connections = 0;
  const made = createServer(async (request, response) => {
    for await (const _ of request);
    const { "content-encoding": encoding, authorization } = request.headers;
    heard.push({ path: request.url ?? "", encoding, authorization });
    response.writeHead(status, headers).end(status === 204 ? undefined : "words");
  });
  made.on("connection", () => {
    connections += 1;
  });
  server = made;
  await new Promise<void>((resolve) => made.listen(0, "127.0.0.1", resolve));
  return { url: `http://127.0.0.1:${(made.address() as AddressInfo).port}`, heard, connections: () => connections };
}

const lines = (count: number): string[] =>
  Array.from({ length: count }, (_, i) => `reading,series=a/b,site=x mark=0i,value=${i} ${i}`);

test.each([1, 10, CHUNK_LINES])(
  "%i lines to nobody are no success, and nothing is written to the console",
  async (count) => {
    const loud = [vi.spyOn(console, "error"), vi.spyOn(console, "warn"), vi.spyOn(console, "log")];
    const writer = influxWriter(accessTo(`http://127.0.0.1:${await freePort()}`));
    await expect(writer.write(lines(count))).rejects.toMatchObject({ kind: "away", code: "influx-away" });
    for (const spy of loud) {
      expect(spy).not.toHaveBeenCalled();
      spy.mockRestore();
    }
    writer.close();
  },
);

test("after it was closed nothing counts as written, and more lines than a chunk are a defect", async () => {
  const { url, heard } = await answering(204);
  const writer = influxWriter(accessTo(url));
  await expect(writer.write(lines(CHUNK_LINES + 1))).rejects.toThrow(RangeError);
  await writer.write(lines(3));
  writer.close();
  await expect(writer.write(lines(3))).rejects.toThrow();
  expect(heard).toHaveLength(1);
});

test("chunks go packed over one connection, by the path that we give it, whatever it would take itself", async () => {
  const { url, heard, connections } = await answering(204);
  const access = accessTo(url, { database: "plant & co", retentionPolicy: "a year", authorization: "Basic c2FuZA==" });
  const writer = influxWriter(access);
  for (let i = 0; i < 5; i += 1) await writer.write(lines(500));
  await writer.write(lines(2), "ns");
  writer.close();
  expect(connections()).toBe(1);
  expect(heard[0]).toEqual({
    path: "/write?db=plant+%26+co&rp=a+year&precision=ms",
    encoding: "gzip",
    authorization: "Basic c2FuZA==",
  });
  expect(heard.at(-1)!.path).toContain("precision=ns");
});

test("a write is tried once, and what is said comes to us whole", async () => {
  const { url, heard } = await answering(429, { "Retry-After": "7" });
  const writer = influxWriter(accessTo(url));
  await expect(writer.write(lines(20))).rejects.toMatchObject({ code: "influx-busy", retryAfterMs: 7_000 });
  writer.close();
  expect(heard).toHaveLength(1);
});

test("an answer that is no word of success to lines is none", async () => {
  const { url } = await answering(200);
  const writer = influxWriter(accessTo(url));
  await expect(writer.write(lines(2))).rejects.toMatchObject({ kind: "configuration", code: "influx-wrong-version" });
  writer.close();
});
