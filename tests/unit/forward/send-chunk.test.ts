import { expect, test } from "vitest";
import { sendChunk } from "../../../collector/forward/send-chunk.ts";
import { InfluxTrouble, retryAfterMs, troubleOf } from "../../../collector/store/influx/influx-trouble.ts";

const lines = Array.from({ length: 1_000 }, (_, i) => `line ${i}`);

/** Stores good lines, refuses chunks with a bad one, as versions 1 and 2 do. */
function server(bad: ReadonlySet<string>, answer: (found: readonly string[], all: readonly string[]) => InfluxTrouble) {
  const stored = new Set<string>();
  const requests: number[] = [];
  const write = (given: readonly string[]): Promise<void> => {
    requests.push(given.length);
    const found = given.filter((line) => bad.has(line));
    for (const line of given) if (!bad.has(line)) stored.add(line);
    return found.length === 0 ? Promise.resolve() : Promise.reject(answer(found, given));
  };
  return { write, stored, requests };
}

const where = "InfluxDB at influx:8086";

test("a line at fault is found by halving, and all others are stored", async () => {
  const bad = new Set(["line 17", "line 18", "line 999"]);
  const one = server(bad, (found) => troubleOf(400, `{"error":"partial write: ${found[0]} dropped=1"}`, 0, where));
  const sent = await sendChunk(one, lines, "ms");
  expect(sent.refused.map(({ place, code }) => [place, code])).toEqual([
    [17, "influx-line-refused"],
    [18, "influx-line-refused"],
    [999, "influx-line-refused"],
  ]);
  expect(sent.refused[0]!.words).toContain("line 17");
  expect(one.stored.size).toBe(997);
  expect(one.requests.length).toBeLessThan(70);
});

test("where the lines at fault are listed only the others go once more", async () => {
  const bad = new Set(["line 3", "line 500"]);
  const one = server(bad, (_, all) => {
    const data = all.flatMap((line, i) =>
      bad.has(line) ? [{ line_number: i + 1, original_line: line, error_message: "no" }] : [],
    );
    return troubleOf(400, JSON.stringify({ error: "partial write of line protocol occurred", data }), 0, where);
  });
  const sent = await sendChunk(one, lines, "ms");
  expect(sent.refused).toEqual([3, 500].map((place) => ({ place, code: "influx-line-refused", words: "no" })));
  expect(one.requests).toEqual([1_000, 998]);
});

test("a chunk that is too large is halved until it fits", async () => {
  const stored: string[] = [];
  const write = (given: readonly string[]): Promise<void> => {
    if (given.length > 300) return Promise.reject(troubleOf(413, "too large", 0, where));
    stored.push(...given);
    return Promise.resolve();
  };
  expect(await sendChunk({ write }, lines, "ms")).toEqual({ refused: [], beyondRetention: 0 });
  expect(stored).toEqual(lines);
});

test("line after line refused is no line at fault: nothing goes to quarantine", async () => {
  const one = server(new Set(lines), () => troubleOf(422, "no", 0, where));
  await expect(sendChunk(one, lines, "ms")).rejects.toMatchObject({
    kind: "configuration",
    code: "influx-refuses-all",
  });
});

test("what is older than the store keeps is counted, not refused", async () => {
  const one = server(new Set(lines.slice(0, 10)), (found) =>
    troubleOf(400, `{"error":"partial write: points beyond retention policy dropped=${found.length}"}`, 0, where),
  );
  expect(await sendChunk(one, lines, "ms")).toEqual({ refused: [], beyondRetention: 10 });
});

test.each([
  [401, "authorization failed", "configuration", "influx-refuses-us"],
  [403, "no", "configuration", "influx-refuses-us"],
  [404, '{"error":"database not found: \\"x\\""}', "configuration", "influx-no-database"],
  [404, '{"code":"not found","message":"bucket \\"x\\" not found"}', "configuration", "influx-no-database"],
  [500, '{"error":"retention policy not found: x"}', "configuration", "influx-no-database"],
  [404, "404 page not found", "configuration", "influx-wrong-version"],
  [400, "unable to parse", "refused", "influx-line-refused"],
  [413, "too large", "refused", "influx-line-refused"],
  [422, "conflict", "refused", "influx-line-refused"],
  [429, "slow down", "away", "influx-busy"],
  [503, "hinted handoff queue full", "away", "influx-busy"],
  [500, "write wal: no space left on device", "away", "influx-away"],
  [502, "", "away", "influx-away"],
] as const)("%i %s is %s, %s", (status, said, kind, code) => {
  expect(troubleOf(status, said, 0, where)).toMatchObject({ kind, code });
});

test("Retry-After counts seconds, or names a time, and is never less than one", () => {
  expect([retryAfterMs("30", 0), retryAfterMs("0", 0), retryAfterMs(undefined, 0), retryAfterMs("soon", 0)]).toEqual([
    30_000, 1_000, 0, 0,
  ]);
  const nowMs = Date.UTC(2026, 0, 1);
  expect(retryAfterMs(new Date(nowMs + 90_000).toUTCString(), nowMs)).toBe(90_000);
  expect(new InfluxTrouble("away", "influx-busy", "x", { retryAfterMs: 5 }).retryAfterMs).toBe(5);
});
