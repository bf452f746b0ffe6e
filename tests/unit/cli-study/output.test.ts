import { PassThrough, Writable } from "node:stream";
import { expect, test } from "vitest";
import { characterChart } from "../../../api/cli/study/character-chart.ts";
import { resultJson } from "../../../api/cli/study/json-output.ts";
import { studyPage, studySvg } from "../../../api/cli/study/page.tsx";
import { writeAll } from "../../../api/cli/study/standard-output.ts";
import { lookOf, terminalText } from "../../../api/cli/study/terminal.ts";
import { constantColumn } from "../../../spc/model/column.ts";
import { madeChart, madeResult, madeSignals } from "./made-result.ts";

const plain = { columns: 80, colours: false };
const terminal = (result = madeResult(), look = plain): string => [...terminalText(result, look)].join("");

test("JSON has the shape that is promised, at full precision", () => {
  const json = JSON.parse([...resultJson(madeResult())].join("")) as Record<string, unknown>;
  expect(Object.keys(json)).toEqual(
    "n charts sigmaWithin sigmaOverall diagnostics changePoints capability cautions form advice".split(" "),
  );
  expect(json["sigmaOverall"]).toBe(0.30000000000000004);
  expect(json["charts"]).toEqual([
    {
      kind: "individuals",
      centre: 10,
      sigma: 2 / 3,
      provenance: { estimator: "moving-range", from: 0, to: 4, n: 4, k: 3 },
      points: [
        { index: 0, value: 9.5, lower: 8, upper: 12, verdict: "within", signals: [] },
        {
          index: 1,
          value: 12.5,
          lower: 8,
          upper: 12,
          verdict: "above",
          signals: [{ rule: "beyond-limit", side: "above", members: [1] }],
        },
        { index: 2, value: null, lower: 8, upper: 12, verdict: "not-evaluable", signals: [] },
        { index: 3, value: 10.25, lower: 8, upper: 12, verdict: "within", signals: [] },
      ],
    },
  ]);
});

test("a refused chart says so in JSON, with its points and without lines", () => {
  const none = constantColumn(null, 2);
  const refusal = { code: "zero-variation", detail: "all 2 values are 5" };
  const chart = madeChart([5, 5], { refusal, lower: none, upper: none, centres: none, sigmas: none });
  const result = madeResult({ charts: [{ chart, signals: madeSignals(2) }] });
  const [json] = (JSON.parse([...resultJson(result)].join("")) as { charts: unknown[] }).charts;
  expect(json).toMatchObject({ refused: "zero-variation", why: "all 2 values are 5", centre: null, sigma: null });
  expect(json).toMatchObject({ points: [{ value: 5, lower: null, upper: null, verdict: "not-evaluable" }, {}] });
  expect(terminal(result)).toContain("No limits (zero-variation): all 2 values are 5.");
});

test("JSON comes in pieces, none of them long", () => {
  const values = Array.from({ length: 20_000 }, (_, at) => 10 + Math.sin(at));
  const result = madeResult({ charts: [{ chart: madeChart(values), signals: madeSignals(20_000) }] });
  const pieces = [...resultJson(result)];
  expect(Math.max(...pieces.map((one) => one.length))).toBeLessThan(2 ** 17);
  expect((JSON.parse(pieces.join("")) as { charts: { points: unknown[] }[] }).charts[0]?.points).toHaveLength(20_000);
});

test("the terminal shows chart and sentences in eighty columns, without a colour", () => {
  const text = terminal();
  expect(Math.max(...text.split("\n").map((line) => line.length))).toBeLessThanOrEqual(80);
  expect(text).not.toContain("\u001b");
  expect(text).toContain("point 1: 12.5, above the upper limit 12");
  expect(text).toContain("Cp: refused (not-stable): 1 signal in the span.");
  expect(text).toContain("Pp 1.25, 95 % interval 1.0625 to 1.5.");
  expect(text).toContain("few-values: 4 values only.");
  expect(text).toMatch(/#/);
});

test("colours are for terminals only, never alone, and never where NO_COLOR is set", () => {
  expect(lookOf({ isTTY: true, columns: 100 }, {})).toEqual({ columns: 100, colours: true });
  expect(lookOf({ isTTY: true, columns: 100 }, { NO_COLOR: "1" }).colours).toBe(false);
  expect(lookOf({}, {})).toEqual(plain);
  const coloured = terminal(madeResult(), { columns: 80, colours: true });
  // biome-ignore lint/suspicious/noControlCharactersInRegex: that is what colours are made of
  expect(coloured.replaceAll(/\u001b\[[\d;]*m/g, "")).toBe(terminal());
});

test("a wide series is drawn in columns that keep the extremes, and it says so", () => {
  const values = Array.from({ length: 5000 }, (_, at) => (at === 3333 ? 30 : 10 + (at % 3)));
  const studied = { chart: madeChart(values), signals: madeSignals(5000) };
  const lines = characterChart(studied, { columns: 80, rows: 15 }, (text) => text);
  expect(lines[1]).toMatch(/^\s*30\.0+\|.*#/);
  expect(lines.at(-1)).toMatch(/each column holds up to \d+ points, from least to greatest/);
});

test("charts of hostile values are drawn without a hole in the reasoning", () => {
  const hostile: readonly (readonly (number | null)[])[] = [
    [],
    [null, null],
    [5],
    [5, 5, 5],
    [1e300, -1e300, 1e-300],
    [Number.MAX_VALUE, -Number.MAX_VALUE],
    [1e7 + 0.1, 1e7 + 0.2],
  ];
  for (const values of hostile) {
    const n = values.length;
    const chart = madeChart(values, { lower: constantColumn(null, n), upper: constantColumn(null, n) });
    const result = madeResult({ charts: [{ chart, signals: madeSignals(n) }] });
    for (const text of [terminal(result), studySvg(result, "x"), studyPage(result, "x")]) {
      expect(text).not.toMatch(/NaN|Infinity|undefined|&quot;|\sd[ >/]/);
    }
  }
});

test("the page is one file of its own, with every point in its table", () => {
  const page = studyPage(madeResult(), "a<b>.csv");
  expect(page).toMatch(/^<!doctype html>\n<html lang="en">/);
  expect(page).toContain("a&lt;b>.csv");
  expect(page).not.toMatch(/<script|<link|@import|\ssrc=|url\(/);
  expect(page.match(/<th scope="row">/g)).toHaveLength(4);
  expect(page).toContain("prefers-color-scheme: dark");
  expect(page).toContain('name="viewport"');
});

test("the picture stands alone, with a heavy ring round the point that is out", () => {
  const svg = studySvg(madeResult(), "a.csv");
  expect(svg).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
  expect(svg).toContain("<style>");
  expect(svg.match(/class="mark out"/g)).toHaveLength(1);
});

test("pieces wait for a slow reader", async () => {
  let most = 0;
  const got: string[] = [];
  const slow = new Writable({
    highWaterMark: 10,
    write: (chunk: Buffer, _encoding, done) => {
      got.push(chunk.toString());
      setImmediate(done);
    },
  });
  const pieces = function* (): Generator<string> {
    for (let at = 0; at < 50; at++) {
      most = Math.max(most, slow.writableLength);
      yield `${at} is a piece\n`;
    }
  };
  await writeAll(slow, pieces());
  expect(got.join("")).toContain("49 is a piece");
  expect(most).toBeLessThan(40);
});

test("a reader that has gone ends the writing quietly; another failure does not", async () => {
  const gone = new PassThrough({ highWaterMark: 1 });
  const endless = function* (): Generator<string> {
    for (;;) yield "more";
  };
  setImmediate(() => gone.destroy(Object.assign(new Error("write EPIPE"), { code: "EPIPE" })));
  await writeAll(gone, endless());
  const broken = new PassThrough({ highWaterMark: 1 });
  setImmediate(() => broken.destroy(Object.assign(new Error("no space"), { code: "ENOSPC" })));
  await expect(writeAll(broken, endless())).rejects.toThrow("standard output cannot be written (ENOSPC)");
});
