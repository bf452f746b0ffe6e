import { readFileSync } from "node:fs";
import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { incoming } from "../store/incoming.ts";
import { ask } from "./ask.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
let text: string;
beforeAll(async () => {
  api = await runningApi({
    broker: {
      sessionsLost: { count: 1, lastMs: Date.now() - 60_000 },
      takenOver: { count: 4, lastMs: Date.now() - 11 * 60_000 },
      dropped: { count: 120, lastMs: Date.now() - 60_000 },
    },
    before: ({ samples }) =>
      samples.commit([1, 2, 5].map((sequence) => incoming([], { source: "GW-PR", sequence, receivedMs: Date.now() }))),
  });
  text = await (await fetch(`${api.url}/metrics`)).text();
});
afterAll(() => api.stop());

test("the table of DEVELOPERS.md names every metric with its type, and no other, each with its unit and meaning", () => {
  const section = /^## Metrics$([\s\S]*?)^## /m.exec(readFileSync("DEVELOPERS.md", "utf8"))?.[1] ?? "";
  const rows = [...section.matchAll(/^\| `(\w+)` \| (\w+) \| (.+?) \| (.+?) \|$/gm)];
  const told = Object.fromEntries(rows.map(([, name, type]) => [name, type]));
  const given = Object.fromEntries([...text.matchAll(/^# TYPE (\S+) (\S+)$/gm)].map(([, name, type]) => [name, type]));
  expect(told).toEqual(given);
  expect(rows.length).toBeGreaterThan(20);
  for (const [, name, , unit, meaning] of rows) expect(`${unit}${meaning}`.length, name).toBeGreaterThan(12);
});

test("what befell the broker's session, what never came and whose clock is off stand in the metrics", () => {
  for (const line of [
    "steadypour_broker_sessions_lost_total 1",
    "steadypour_broker_taken_over_total 4",
    "steadypour_broker_dropped_total 120",
    "steadypour_unconfirmed_messages_total 2",
    'steadypour_sequence_missing{source="GW-PR"} 2',
    'steadypour_source_clock_offset_seconds{source="GW-PR"} -90',
  ]) {
    expect(text.split("\n")).toContain(line);
  }
});

test("and in the counts", async () => {
  expect(await ask(`${api.url}/api/counts`, endpoints.counts.answer)).toMatchObject({
    sequenceGaps: { "GW-PR": 2 },
    clockOffsets: { "GW-PR": -90 },
    broker: { sessionsLost: 1, takenOver: 4, dropped: 120 },
  });
});

test("the Floor says what is wrong at the door for as long as it matters", async () => {
  const { door } = await ask(`${api.url}/api/floor`, endpoints.floor.answer);
  // Two clients under one id would have met again long since.
  expect(door.map(({ code, messages }) => [code, messages])).toEqual([
    ["session-lost", null],
    ["messages-dropped", 120],
  ]);
});
