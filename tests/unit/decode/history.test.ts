import { expect, test } from "vitest";
import type { HistoryOptions } from "../../../collector/decode/history.ts";
import { type HistoryFormat, siteHistory } from "../../../collector/decode/site-history.ts";
import { loadSettings } from "../../../collector/platform/settings/load.ts";
import { zoneOffsets } from "../../../collector/platform/settings/zone-offsets.ts";
import { siteText } from "../platform/settings/site-text.ts";

const t = Date.UTC(2026, 10, 25, 8);
const iso = new Date(t).toISOString();
const plain: HistoryOptions = {
  time: "iso",
  zone: zoneOffsets("CET"),
  decimal: "point",
  units: new Map(),
  othersIgnored: false,
  template: "{measurement}/{field}",
};

function read(format: HistoryFormat, lines: readonly string[], options: Partial<HistoryOptions> = {}) {
  const loaded = loadSettings(Buffer.from(siteText));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  const { reader, rows } = siteHistory(loaded.site, format, { ...plain, ...options }, t + 1000);
  lines.forEach((line, i) => {
    reader.take(line, i + 1, rows);
  });
  const refused = rows.rejections.map(({ code, place }) => `${place} ${code}`);
  const { taken } = rows;
  const readable = reader.isReadable();
  const kept = rows
    .empty()
    .flatMap(({ samples }) => samples)
    .map(({ series, tMs, value, quality }) => [series, tMs - t, value, quality]);
  return { kept, refused, taken, readable };
}

test("long CSV takes columns in any order, converts units, and knows qualities", () => {
  const { kept, refused, taken } = read("csv-long", [
    "value,unit,time,Series,quality",
    `90,kPa,${iso},PR-01/pressure,`,
    `"0.8",bar,${iso.replace(".000Z", ".050Z")},"PR-01/pressure",uncertain`,
    `,bar,${iso.replace(".000Z", ".100Z")},PR-01/pressure,bad`,
    `3,1,${iso},PR-01/step,good`,
  ]);
  expect(refused).toEqual([]);
  expect(kept).toEqual([
    ["PR-01/pressure", 0, expect.closeTo(0.9, 12), "good"],
    ["PR-01/pressure", 50, 0.8, "uncertain"],
    ["PR-01/pressure", 100, null, "bad"],
    ["PR-01/step", 0, 3, "good"],
  ]);
  expect(taken).toBe(4);
});

test("each mistake in long CSV is told with its line and column, and the lines around it are taken", () => {
  const { kept, refused } = read("csv-long", [
    "series,time,value,unit",
    `PR-09/pressure,${iso},1,bar`,
    "PR-01/pressure,25.11.2026 08:00,1,bar",
    `PR-01/pressure,${iso},"1,5",bar`,
    `PR-01/pressure,${iso},1e400,bar`,
    `PR-01/pressure,${iso},NaN,bar`,
    `PR-01/pressure,${iso},1,Cel`,
    `PR-01/pressure,${iso},1`,
    `PR-01/pressure,${iso},,bar`,
    `PR-01/pressure,${iso},"1,bar`,
    "PR-01/pressure,1970-01-01T00:00:00Z,1,bar",
    "PR-01/pressure,2099-01-01T00:00:00Z,1,bar",
    `PR-01/step,${iso},1,%`,
    `PR-01/pressure,${iso},0.7,bar`,
  ]);
  expect(refused).toEqual([
    "2:1 unknown-series",
    "3:16 not-a-time",
    "4:41 not-a-number",
    "5:41 not-a-number",
    "6:41 not-a-number",
    "7:43 unknown-unit",
    "8:1 not-csv",
    "9:41 value-missing",
    "10:41 not-csv",
    "11:16 time-too-old",
    "12:16 time-in-future",
    "13:39 unknown-unit",
  ]);
  expect(kept).toEqual([["PR-01/pressure", 0, 0.7, "good"]]);
});

test("a first line that names no columns, or one of them twice, takes no line after it", () => {
  const long = read("csv-long", ["series,time,time,note", `PR-01/pressure,${iso},${iso},1`]);
  expect(long.refused).toEqual(["1:13 unknown-column", "1:18 unknown-column", "1:1 unknown-column"]);
  expect([long.kept, long.readable]).toEqual([[], false]);
  const wide = read("csv-wide", ["Timestamp,PR-01/pressure", `${iso},1`]);
  expect([wide.refused, wide.kept, wide.readable]).toEqual([["1:1 unknown-column"], [], false]);
  expect(read("csv-long", ["series,time,value"]).readable).toBe(true);
  expect(read("csv-wide", []).readable).toBe(true);
});

test("wide CSV has a series a column, units in its second line or the options, and empty fields are no readings", () => {
  const second = read("csv-wide", ["time,PR-01/pressure,PR-01/step", "unit,kPa,", `${t},80,1`, `${t + 50},,2`], {
    time: "ms",
  });
  expect(second.refused).toEqual([]);
  expect(second.kept).toEqual([
    ["PR-01/pressure", 0, 0.8, "good"],
    ["PR-01/step", 0, 1, "good"],
    ["PR-01/step", 50, 2, "good"],
  ]);
  const option = read("csv-wide", ["time,PR-01/pressure,note", `${t / 1000}.25,0.8,x`], {
    ...{ time: "s", units: new Map([["pressure", "bar"]]), othersIgnored: true },
  });
  expect(option).toMatchObject({ refused: [], kept: [["PR-01/pressure", 250, 0.8, "good"]] });
  expect(read("csv-wide", ["time,PR-01/pressure,note", `${iso},0.8,x`, `${iso},1`]).refused).toEqual([
    "1:21 unknown-series",
    "2:26 unknown-unit",
    "3:1 not-csv",
  ]);
});

test("the first line shows what stands between fields, and a comma may be the decimal mark", () => {
  const comma = { decimal: "comma", time: "local" } as const;
  const lines = [
    "series;time;value;unit",
    'PR-01/pressure;25.11.2026 09:00:00,05;"0,85";bar',
    "PR-01/step;25.11.2026 09:00;3;1",
  ];
  const long = read("csv-long", lines, comma);
  expect([long.refused, long.kept]).toEqual([
    [],
    [
      ["PR-01/pressure", 50, 0.85, "good"],
      ["PR-01/step", 0, 3, "good"],
    ],
  ]);
  const wide = read("csv-wide", ["time\tPR-01/pressure\tPR-01/step", "unit\tkPa\t1", `${iso}\t80,5\t`], {
    decimal: "comma",
  });
  expect([wide.refused, wide.kept]).toEqual([[], [["PR-01/pressure", 0, 0.805, "good"]]]);
  const other = read(
    "csv-long",
    [...lines.slice(0, 1), "PR-01/pressure;2026-11-25 09:00:00;0.85;bar", 'PR-01/step;"1"x;1;1'],
    comma,
  );
  expect(other.refused).toEqual(["2:36 not-a-number", "3:15 not-csv"]);
});

test("a local time is of the zone; the hour that comes twice, and the one that is skipped, need an offset", () => {
  const at = (time: string) =>
    read("csv-long", ["series,time,value,unit", `PR-01/step,"${time}",1,1`], { time: "local" });
  const ms = (time: string) => at(time).kept.map(([, after]) => Number(after) + t);
  expect(ms("2026-11-25 09:00:00")).toEqual([t]);
  expect(ms("2026-11-25T09:00")).toEqual([t]);
  expect(ms("25.11.2026 09:00:00,0009")).toEqual([t]);
  expect(ms("2026-11-25T08:00:00Z")).toEqual([t]);
  expect(ms("2026-07-01 12:00:00")).toEqual([Date.UTC(2026, 6, 1, 10)]);
  // Clocks of CET went back on 25 October 2026 at three, and forward on 29 March 2026 at two.
  expect(ms("2026-10-25 01:59:59")).toEqual([Date.UTC(2026, 9, 24, 23, 59, 59)]);
  expect(ms("2026-10-25 03:00:00")).toEqual([Date.UTC(2026, 9, 25, 2)]);
  expect(ms("2026-03-29 03:00:00")).toEqual([Date.UTC(2026, 2, 29, 1)]);
  expect(ms("2026-10-25T02:30:00+01:00")).toEqual([Date.UTC(2026, 9, 25, 1, 30)]);
  for (const wrong of [
    "2026-10-25 02:30:00",
    "2026-03-29 02:30:00",
    "2026-02-30 08:00",
    "25.11.26 08:00",
    "08:00",
    "",
  ]) {
    expect(at(wrong), wrong).toMatchObject({ kept: [], refused: ["2:12 not-a-time"] });
  }
  // Without daylight saving every hour comes once.
  const utc1 = { time: "local", zone: zoneOffsets("Etc/GMT-1") } as const;
  const winter = read("csv-long", ["series,time,value,unit", "PR-01/step,2026-10-25 02:30:00,1,1"], utc1);
  expect(winter.kept).toEqual([["PR-01/step", Date.UTC(2026, 9, 25, 1, 30) - t, 1, "good"]]);
});

test("line protocol takes numbers, truths, escapes and the template's tags, and cuts nanoseconds without rounding", () => {
  const options = { time: "ns", units: new Map([["pressure", "bar"]]) } as const;
  const { kept, refused } = read(
    "line-protocol",
    [
      "# a comment",
      `PR-01 pressure=0.7,step=2i ${t}000000`,
      `PR-01,site=a\\ b,x=y pressure=7e-1 ${t + 50}999999`,
      `PR-01 step=T ${t + 60}000000`,
    ],
    options,
  );
  expect(refused).toEqual([]);
  expect(kept).toEqual([
    ["PR-01/pressure", 0, 0.7, "good"],
    ["PR-01/step", 0, 2, "good"],
    ["PR-01/pressure", 50, 0.7, "good"],
    ["PR-01/step", 60, 1, "good"],
  ]);
  const tags = read("line-protocol", [`steam,station=PR-01 pressure=0.7 ${t}000000`, `steam pressure=0.7 ${t}000000`], {
    ...options,
    template: "{station}/{field}",
  });
  expect(tags).toMatchObject({ kept: [["PR-01/pressure", 0, 0.7, "good"]], refused: ["2:7 unknown-series"] });
});

test("what is no line protocol is told with its place", () => {
  const { kept, refused } = read(
    "line-protocol",
    [
      "PR-01",
      "PR-01 pressure=0.7",
      `PR-01 pressure= ${t}`,
      `PR-01 pressure=zero ${t}`,
      `PR-01 pressure="a b, c" ${t}`,
      `,a=b pressure=1 ${t}`,
      `PR-01,a pressure=1 ${t}`,
      `PR-01 pressure=0.7 ${t} x`,
      `PR-01 pressure=-1u ${t}`,
    ],
    { time: "ms", units: new Map([["pressure", "bar"]]) },
  );
  expect(refused).toEqual([
    "1:6 not-line-protocol",
    "2:19 not-a-time",
    "3:7 not-line-protocol",
    "4:16 not-line-protocol",
    "5:7 not-a-number",
    "6:1 not-line-protocol",
    "7:6 not-line-protocol",
    "8:20 not-a-time",
    "9:16 not-line-protocol",
  ]);
  expect(kept).toEqual([]);
});
