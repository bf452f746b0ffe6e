import { expect, test } from "vitest";
import type { WireLongTerm } from "../../../../api/contract/wire.ts";
import { longTermSentences } from "../../../../dashboard/model/long-term-words.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";

const copy: WireLongTerm = {
  ...{ where: "InfluxDB at influx:8086", version: "1.6.7", trouble: null, lastTrouble: null },
  ...{ upToDate: "2026-11-25T08:05:12.000Z", behindReadings: 0, behindSeconds: 0, forwarded: 9, refusedLines: 0 },
  ...{ beyondRetention: 0, shortDays: 0, refused: [] },
};
const said = (more: Partial<WireLongTerm>): string =>
  longTermSentences({ ...copy, ...more }, siteTimes("UTC")).join(" ");

test("all well, behind, in trouble: each is said in words", () => {
  expect(said({})).toBe("InfluxDB at influx:8086 has all that was sent, as of 25 Nov, 08:05.");
  expect(said({ upToDate: null, where: null })).toBe("InfluxDB: not looked at yet.");
  expect(said({ behindReadings: 5_000, behindSeconds: 7_200 })).toMatch(
    /is behind by 5000 readings, 2 h 00 of their time\.$/,
  );
  const trouble = {
    code: "influx-away",
    words: "InfluxDB at influx:8086 does not answer",
    since: "2026-11-25T07:00:00.000Z",
  };
  expect(said({ trouble, behindReadings: 1 })).toBe(
    "Since 25 Nov, 07:00 nothing goes to the long-term store: InfluxDB at influx:8086 does not answer. Everything is kept here; 1 reading waits.",
  );
});

test("refused readings are said with the last one's reason", () => {
  const refused = [
    { series: "PR-01/pressure", at: "2026-11-25T07:00:00.000Z", code: "influx-line-refused", words: "conflict" },
  ];
  expect(said({ refusedLines: 2, refused })).toContain(
    "2 readings it would not take, the last of them of PR-01/pressure at 25 Nov, 07:00: conflict.",
  );
});
