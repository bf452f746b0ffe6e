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
    longTerm: {
      status: () => ({
        ...{ where: "InfluxDB at influx:8086", version: "1.6.7", upToDateMs: null, lastTrouble: null },
        trouble: { code: "influx-away", words: "InfluxDB at influx:8086 does not answer", sinceMs: 1_764_057_912_345 },
        ...{
          behindReadings: 5_000,
          behindSeconds: 86_400,
          forwarded: 12,
          refusedLines: 1,
          beyondRetention: 2,
          shortDays: 3,
        },
      }),
      refused: () => [
        { series: "PR-01/pressure", tMs: 1_764_057_912_345, code: "influx-line-refused", words: "conflict", line: "x" },
      ],
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
    "steadypour_long_term_working 0",
    "steadypour_long_term_behind_readings 5000",
    "steadypour_long_term_behind_seconds 86400",
    "steadypour_long_term_forwarded_total 12",
    "steadypour_long_term_refused_lines_total 1",
    "steadypour_long_term_beyond_retention_total 2",
    "steadypour_long_term_short_days_total 3",
  ]) {
    expect(text.split("\n")).toContain(line);
  }
});

test("and in the counts", async () => {
  expect(await ask(`${api.url}/api/counts`, endpoints.counts.answer)).toMatchObject({
    sequenceGaps: { "GW-PR": 2 },
    clockOffsets: { "GW-PR": -90 },
    broker: { sessionsLost: 1, takenOver: 4, dropped: 120 },
    longTerm: {
      ...{ where: "InfluxDB at influx:8086", version: "1.6.7", behindReadings: 5_000, refusedLines: 1, upToDate: null },
      trouble: { code: "influx-away", since: "2025-11-25T08:05:12.345Z" },
      refused: [
        { series: "PR-01/pressure", at: "2025-11-25T08:05:12.345Z", code: "influx-line-refused", words: "conflict" },
      ],
    },
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
