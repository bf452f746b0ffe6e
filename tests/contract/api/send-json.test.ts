import { request } from "node:http";
import { text } from "node:stream/consumers";
import { createGunzip } from "node:zlib";
import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { as, terminal } from "./as.ts";
import { limitsEntry, shotEntries } from "./press-entries.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;

beforeAll(async () => {
  const shots = Array.from({ length: 100 }, (_, i) => shotEntries(i, 0.9)).flat();
  api = await runningApi({ before: ({ journal }) => void journal.append([limitsEntry(), ...shots]) });
});

afterAll(() => api.stop());

/** What is sent, byte by byte: `fetch` unpacks by itself. */
function asked(path: string, encodings: string | null) {
  const headers = { ...as(terminal), ...(encodings === null ? {} : { "accept-encoding": encodings }) };
  return new Promise<{ encoding: string | undefined; bytes: number; body: string; vary: string }>((resolve, reject) => {
    request(`${api.url}${path}`, { headers }, async (answer) => {
      let bytes = 0;
      answer.on("data", (chunk: Buffer) => {
        bytes += chunk.length;
      });
      const encoding = answer.headers["content-encoding"];
      const body = await text(encoding === "gzip" ? answer.pipe(createGunzip()) : answer);
      resolve({ encoding, bytes, body, vary: String(answer.headers.vary) });
    })
      .on("error", reject)
      .end();
  });
}

test("a large answer comes packed to a fraction for those who understand it, and says the same", async () => {
  const plain = await asked("/api/floor", null);
  expect(plain.encoding).toBeUndefined();
  const small = await asked("/api/floor", "gzip, deflate, br");
  expect(small.encoding).toBe("gzip");
  expect(small.vary).toContain("Accept-Encoding");
  expect(small.bytes).toBeLessThan(plain.bytes / 5);
  const [here, there] = [plain, small].map(({ body }) => endpoints.floor.answer.parse(JSON.parse(body)));
  expect(here!.characteristics).toEqual(there!.characteristics);
});

test("who asks for it as it is gets it so, and a small answer is never packed", async () => {
  expect((await asked("/api/floor", "gzip;q=0, identity")).encoding).toBeUndefined();
  const counts = await asked("/api/counts", "gzip");
  expect(counts.encoding).toBeUndefined();
  expect(endpoints.counts.answer.parse(JSON.parse(counts.body)).received).toBeTypeOf("number");
});
