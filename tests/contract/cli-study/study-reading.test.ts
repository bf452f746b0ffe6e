import { readFileSync } from "node:fs";
import { afterEach, beforeEach, expect, test } from "vitest";
import { temporaryFolder } from "../../temporary-folder.ts";
import { json, study, tableIn } from "./study-process.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

const published = "tests/reference/data/published";

interface NistExample {
  readonly id: string;
  readonly input: { readonly values: readonly number[] };
  readonly published: readonly { readonly field: string; readonly value: number }[];
}

/** NIST/SEMATECH e-Handbook 6.3.2.2: flowrate, ten batches. */
function nistIndividuals(): NistExample {
  const all = JSON.parse(readFileSync(`${published}/nist_examples.json`, "utf8")) as readonly NistExample[];
  return all.find(({ id }) => id === "nist-6.3.2.2-individuals")!;
}

test("the individuals example of the NIST/SEMATECH e-Handbook comes out of the command as published", () => {
  const { input, published: wanted } = nistIndividuals();
  const file = tableIn(folder.path, `flowrate\n${input.values.join("\n")}\n`);
  const result = json(file, "--value", "flowrate", "--chart", "individuals");
  const value = (field: string): number => wanted.find((one) => one.field === field)!.value;
  const [location, spread] = result.charts;
  expect(result.n).toBe(10);
  expect([location?.kind, spread?.kind]).toEqual(["individuals", "moving-range"]);
  expect(location?.centre).toBeCloseTo(value("mean"), 10);
  // The handbook divides by 1.128 where the exact constant is 2 over the root of pi: 0.0017 apart.
  expect(Math.abs(location!.points[0]!.upper! - value("ucl_x"))).toBeLessThan(0.002);
  expect(Math.abs(location!.points[0]!.lower! - value("lcl_x"))).toBeLessThan(0.002);
  expect(spread?.centre).toBeCloseTo(value("mr_bar"), 4);
  expect(location?.points.map((point) => point.value)).toEqual(input.values);
  expect(location?.points.every((point) => point.verdict === "within")).toBe(true);
  expect(spread?.points[0]).toMatchObject({ index: 0, value: null, verdict: "not-evaluable" });
});

test("Ishikawa's defectives, as published, give a p chart with limits of each sample's own size", () => {
  const file = `${published}/series/ishikawa_ccp.csv`;
  const result = json(file, "--count", "defectives", "--size", "n", "--chart", "p");
  const rows = readFileSync(file, "utf8").trim().split("\n").slice(1);
  const samples = rows.map((row) => row.split(",").slice(1, 3).map(Number) as [number, number]);
  const [chart] = result.charts;
  expect(chart?.kind).toBe("p");
  expect(chart?.points).toHaveLength(samples.length);
  const mean = samples.reduce((sum, [d]) => sum + d, 0) / samples.reduce((sum, [, n]) => sum + n, 0);
  expect(chart?.centre).toBeCloseTo(mean, 12);
  for (const [at, [d, n]] of samples.entries()) {
    const point = chart!.points[at]!;
    expect(point.value).toBeCloseTo(d / n, 12);
    expect(point.upper).toBeCloseTo(mean + 3 * Math.sqrt((mean * (1 - mean)) / n), 12);
  }
});

test("a byte-order mark, semicolons and decimal commas are read, and each is said with the option for the other", () => {
  const rows = Array.from({ length: 30 }, (_, at) => `${at};${(10 + Math.sin(at)).toFixed(3).replace(".", ",")}`);
  const text = ["\ufeffi;w", ...rows, ""].join("\r\n");
  const file = tableIn(folder.path, text);
  const { cautions, n } = json(file, "--value", "w");
  expect(n).toBe(30);
  const said = new Map(cautions.map((caution) => [caution.code, caution.text]));
  expect(said.get("byte-order-mark")).toContain("--encoding latin-1");
  expect(said.get("semicolons")).toContain("--separator comma");
  expect(said.get("decimal-commas")).toContain("--decimal point");
  expect(study(file, "--value", "w").out).toContain("semicolons: semicolons were read");
});

test("what is refused inside a result ends with 0: equal values, subgroups of one, samples of none", () => {
  const equal = json(tableIn(folder.path, `w\n${"5\n".repeat(30)}`), "--value", "w", "--chart", "individuals");
  expect(equal.charts[0]).toMatchObject({ refused: "zero-variation", centre: null, sigma: null });
  expect(equal.charts[0]?.points[0]).toEqual({
    index: 0,
    value: 5,
    lower: null,
    upper: null,
    verdict: "not-evaluable",
    signals: [],
  });
  const rows = Array.from({ length: 40 }, (_, at) => `${Math.floor(at / 2)},${10 + Math.sin(at * 1.7)}`);
  const one = json(
    tableIn(folder.path, ["s,w", ...rows, "last,10"].join("\n")),
    "--value",
    "w",
    "--subgroup",
    "s",
    "--chart",
    "xbar-s",
  );
  expect(one.charts[1]?.points.at(-1)).toMatchObject({ value: null, verdict: "not-evaluable" });
  const none = json(
    tableIn(folder.path, "d,n\n1,50\n2,50\n0,0\n3,50\n"),
    "--count",
    "d",
    "--size",
    "n",
    "--chart",
    "p",
  );
  expect(none.charts[0]?.points[2]).toMatchObject({ value: null, verdict: "not-evaluable" });
});

test("a baseline in rows becomes one in subgroups", () => {
  const rows = Array.from({ length: 60 }, (_, at) => `S${Math.floor(at / 3)},${10 + Math.sin(at * 1.7)}`);
  const file = tableIn(folder.path, ["s,w", ...rows].join("\n"));
  const words = ["--value", "w", "--subgroup", "s", "--chart", "xbar-r", "--baseline", "6:36"];
  expect(json(file, ...words).charts[0]?.provenance).toMatchObject({ from: 2, to: 12, n: 10 });
});

/** One command for each form of chart, over data that it can take. */
const wave = (at: number): string => (10 + Math.sin(at * 1.7) + ((at * 7919) % 13) / 10).toFixed(3);
const header = "s,w,v,d,n,g,part,m";
const row = (at: number): string =>
  [
    Math.floor(at / 4),
    wave(at),
    wave(at + 500),
    at % 4,
    100 + (at % 7),
    (at * 31) % 17,
    `P-${at % 2}`,
    10 + (at % 2),
  ].join(",");
const w = ["--value", "w"];
const w4 = [...w, "--subgroup", "s"];
const dn = ["--count", "d", "--size", "n"];
const forms: readonly (readonly [string, readonly string[]])[] = [
  ...(["individuals", "moving-average", "ewma", "cusum", "q", "residual", "batch-mean"] as const).map(
    (form) => [form, w] as const,
  ),
  ...(["xbar-r", "xbar-s", "median-r", "three-way"] as const).map((form) => [form, w4] as const),
  ...(["p", "np", "u", "p-prime", "u-prime"] as const).map((form) => [form, dn] as const),
  ["c", ["--count", "d"]],
  ["g", ["--value", "g"]],
  ["t", ["--value", "w"]],
  ["nominal", [...w, "--part", "part", "--nominal", "m"]],
  ["z-w", [...w, "--part", "part", "--nominal", "m"]],
  ["t2", ["--value", "w,v"]],
  ["mewma", ["--value", "w,v"]],
];

test.each(forms)("the chart %s comes out in JSON, with finite numbers or null and the promised keys", (form, words) => {
  const rows = Array.from({ length: 120 }, (_, at) => row(at));
  const file = tableIn(folder.path, [header, ...rows].join("\n"));
  const result = json(file, ...words, "--chart", form);
  expect(Object.keys(result)).toEqual(
    "n charts sigmaWithin sigmaOverall diagnostics changePoints capability cautions form advice".split(" "),
  );
  expect(result.charts.length).toBeGreaterThan(0);
  for (const chart of result.charts) {
    expect(Object.keys(chart).filter((key) => key !== "refused" && key !== "why")).toEqual(
      "kind centre sigma provenance points".split(" "),
    );
    expect(chart.points.length).toBeGreaterThan(1);
    for (const [at, point] of chart.points.entries()) {
      expect(point.index).toBe(at);
      expect(Object.keys(point)).toEqual("index value lower upper verdict signals".split(" "));
      expect(["within", "above", "below", "not-evaluable"]).toContain(point.verdict);
    }
  }
});
