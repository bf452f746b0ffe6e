import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { type CsvRecord, readCsv } from "../../api/cli/csv.ts";
import { columnsOf, runColumns } from "../../api/cli/import-columns.ts";
import { rowReader } from "../../api/cli/import-row.ts";
import { seriesCatalogue } from "../../collector/decode/catalogue.ts";
import type { Decoded } from "../../collector/decode/decoder.ts";
import { payloadV1 } from "../../collector/decode/payload-v1.ts";
import { topicSources } from "../../collector/decode/topic-sources.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { loadSettings } from "../../collector/platform/settings/load.ts";
import { demoSite } from "../demo-site.ts";

const text = readFileSync("README.md", "utf8");

test("the examples of readings decode to what the text says of them", () => {
  const { samples, rejections, source, sequence } = decoded("readings");
  expect(rejections).toEqual([]);
  expect([source, sequence]).toEqual(["GW-PR", 1042]);
  const at = Date.parse("2026-11-25T08:05:12.345Z");
  expect(samples.slice(0, 2)).toEqual([
    { series: "PR-01/pressure", tMs: at, value: 0.901, quality: "good" },
    { series: "PR-02/pressure", tMs: at, value: null, quality: "bad" },
  ]);
  const block = samples.slice(2);
  expect(block.map(({ series, tMs }) => [series, tMs])).toEqual(
    [0, 50, 100].map((after) => ["PR-03/pressure", at + after]),
  );
  // 1 bar = 100 kPa.
  expect(block.map(({ value }) => Math.round((value ?? Number.NaN) * 1e6) / 1e6)).toEqual([0.901, 0.904, 0.903]);
});

test("the example of runs around runs loads, with what is lent, said and charted by part", () => {
  const yaml = blocks("yaml").find((block) => block.includes("moreRuns"));
  const loaded = loadSettings(Buffer.from(yaml!));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  const pours = loaded.site.stations.find(({ id }) => id === "PO-A")!;
  expect(Object.keys(pours.borrowed)).toEqual(["chem-si", "chem-cu", "chem-mg"]);
  expect(pours.context.map(({ key }) => key)).toEqual(["part", "lot"]);
  expect(pours.moreRuns.map(({ id }) => id)).toEqual(["ladle"]);
  expect(pours.series["setup"]!.holds).toBe(true);
  const charted = pours.plans.map(({ feature, by, characteristic }) => [feature, by, characteristic(null).plotted?.as]);
  expect(charted).toEqual([
    ["pour.T1", [], "deviation"],
    ["pour.superheat", ["part"], undefined],
    ["ladle.slope", [], undefined],
  ]);
});

test("the example of a waveform is reduced to the shake that the text speaks of", () => {
  const { samples, rejections } = decoded("waveform");
  expect(rejections).toEqual([]);
  const rms = samples.find(({ series }) => series === "CT-A1/vibration-z.rms")?.value ?? Number.NaN;
  // A sine of amplitude 1.37 has an RMS of 1.37 / sqrt 2; a block that is no whole number of periods strays a little.
  expect(rms / (1.37 / Math.SQRT2)).toBeGreaterThan(0.95);
  expect(rms / (1.37 / Math.SQRT2)).toBeLessThan(1.05);
});

test("the example of an event decodes with its attributes", () => {
  const { samples, rejections } = decoded("event");
  expect(rejections).toEqual([]);
  expect(samples).toEqual([
    {
      series: "PR-01/step",
      tMs: Date.parse("2026-11-25T08:05:12.345Z"),
      value: 5,
      quality: "good",
      attributes: { part: "OFW-2107", tool: "T-14" },
    },
  ]);
});

test("the example of past runs is taken as it stands, with its units converted", async () => {
  const site = demoSite();
  const [csv] = blocks("csv");
  const records: CsvRecord[] = [];
  for await (const record of readCsv([csv!])) records.push(record);
  const header = columnsOf(records[0]!, runColumns);
  if (!("places" in header)) throw new Error(header.mistakes.join("\n"));
  const read = rowReader(site, Date.parse("2026-11-25T08:05:12Z"));
  const rows = records.slice(1).map((record) => read(record, header.places));
  expect(rows).toMatchObject([
    { run: { id: "PR-01:20260925T040000000Z" }, feature: { feature: "mold.plateau", value: 0.903, unit: "bar" } },
    { run: { station: "PR-01" }, feature: { value: expect.closeTo(0.898, 12), unit: "bar" } },
    { run: { station: "PO-A", context: { part: "OFW-2107" } }, feature: { feature: "pour.T1", value: 751.5 } },
  ]);
});

test("the settings file in it is complete and right", () => {
  const [yaml] = blocks("yaml");
  expect(loadSettings(Buffer.from(yaml!))).toMatchObject({ ok: true, site: { stations: [{ id: "PR-01" }] } });
});

test("the environment it names is the one that is read, with the defaults it gives", () => {
  const rows = [...text.matchAll(/^\| (`STEADYPOUR_.+?) \| .+? \| (.+?) \|$/gm)];
  const defaults = Object.fromEntries(
    rows.flatMap(([, names, values]) => {
      const given = [...values!.matchAll(/`([^`]+)`/g)].map(([, value]) => value!);
      return [...names!.matchAll(/`(STEADYPOUR_\w+)`/g)].map(([, name], i) => [name!, given[i] ?? ""]);
    }),
  );
  expect(readEnvironment(defaults)).toEqual(readEnvironment({}));
  expect(() => readEnvironment({ STEADYPOUR_NO_SUCH: "1" })).toThrow(Object.keys(defaults).join(", "));
});

test("every file that it links to is there", () => {
  const links = [...text.matchAll(/\]\(([^)#]+)\)/g)].map(([, link]) => link!).filter((link) => !/^https?:/.test(link));
  expect(links.length).toBeGreaterThan(3);
  expect(links.filter((link) => !existsSync(link))).toEqual([]);
});

test("it names the two commands whole, each on one line", () => {
  const lines = blocks("sh").map((block) => block.trim());
  expect(lines).toContain("npm ci && npm run demo");
  expect(lines).toContain("npm ci && npm test");
  expect(readFileSync(".ci/run", "utf8")).toMatch(/^npm ci && npm test$/m);
});

test("it says that the tool only informs, and never that anything is safe", () => {
  expect(text).toMatch(/It only informs/);
  for (const hazard of ["molten metal", "steam", "pentane", "dust"]) expect(text.toLowerCase()).toContain(hazard);
  expect(text).not.toMatch(/\bis safe\b/i);
});

/** What the product makes of the README's example of a kind, sent under the topic that stands before it. */
function decoded(kind: string): Decoded {
  const site = demoSite();
  const topic = new RegExp(`to \`([\\w/-]+/${kind})\``).exec(text)?.[1];
  const example = blocks("json").find((block) => (JSON.parse(block) as { kind: string }).kind === kind);
  if (topic === undefined || example === undefined) throw new Error(`the README shows no ${kind}`);
  const decoder = payloadV1({
    catalogue: seriesCatalogue(site),
    sourcesOf: topicSources(site.sources),
    snapshotEveryMs: 5_000,
  });
  const receivedMs = Date.parse("2026-11-25T08:05:13Z");
  return decoder.decode({ topic, payload: Buffer.from(example), receivedMs, retained: false, qos: 1 });
}

function blocks(language: string): string[] {
  return [...text.matchAll(new RegExp(`^\`\`\`${language}\\n([\\s\\S]*?)^\`\`\`$`, "gm"))].map(([, block]) => block!);
}
