import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { freezeLimits } from "../../../api/cli/freeze-limits.ts";
import { importRuns } from "../../../api/cli/import-runs.ts";
import { UsageError } from "../../../api/cli/usage-error.ts";
import type { Verb } from "../../../api/cli/verb.ts";
import { openSiteData } from "../../../collector/start.ts";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import type { EntryKind, StoredEntry } from "../../../spc/model/journal-entry.ts";
import { siteOf } from "../../demo-site.ts";
import { nodeOptions } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { siteText } from "../../unit/platform/settings/site-text.ts";

let folder: ReturnType<typeof temporaryFolder>;
let settings: string;
let data: string;

beforeEach(() => {
  folder = temporaryFolder();
  settings = join(folder.path, "site.yaml");
  data = join(folder.path, "data");
  writeFileSync(settings, siteText);
});
afterEach(() => folder.remove());

interface Said {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs what was built, as a person would: `npm test` builds before it tests. */
function steadypour(...words: readonly string[]): Said {
  const inherited = Object.entries(process.env).filter(([name]) => !name.startsWith("STEADYPOUR_"));
  const env = { ...Object.fromEntries(inherited), STEADYPOUR_CONFIG: settings, STEADYPOUR_DATA: data };
  const { status, stdout, stderr } = spawnSync(process.execPath, [...nodeOptions, "dist/api/cli/main.js", ...words], {
    env,
    encoding: "utf8",
  });
  return { code: status, out: stdout, err: stderr };
}

/** What a verb says when it was given something wrong, told without a process of its own. */
async function refusal(verb: Verb, ...words: readonly string[]): Promise<string> {
  const silent = { print: () => {}, warn: () => {} };
  const error = await verb.run([...words, "--config", settings, "--data", data], silent).catch((e: unknown) => e);
  if (error instanceof UsageError) return error.message;
  throw error instanceof Error ? error : new Error("it was not refused");
}

function file(name: string, text: string): string {
  const path = join(folder.path, name);
  writeFileSync(path, text);
  return path;
}

function entries<K extends EntryKind>(kind: K): readonly Extract<StoredEntry, { kind: K }>[] {
  const journal = openJournal(data);
  try {
    return journal.read({ kinds: [kind] }) as readonly Extract<StoredEntry, { kind: K }>[];
  } finally {
    journal.close();
  }
}

const header = "run,station,start,end,feature,value,unit";

/** Past shots, one every six minutes, whose plateau wobbles around 0.9 bar. */
function history(count: number, unit = "bar"): string {
  const rows = Array.from({ length: count }, (_, at) => {
    const start = new Date(Date.UTC(2026, 0, 5, 6) + at * 360_000).toISOString();
    const value = (0.9 + 0.01 * Math.sin(at * 7.3)) * (unit === "kPa" ? 100 : 1);
    return `S-${at},PR-01,${start},${start.replace(/:00\.000Z/, ":40Z")},mold.plateau,${value.toFixed(4)},${unit}`;
  });
  return [header, ...rows, ""].join("\n");
}

const window = ["--from", "2026-01-05T00:00:00Z", "--to", "2026-01-06T00:00:00Z"];
const people = ["--proposed-by", "A. Engineer", "--agreed-by", "B. Manager", "--reason", "normal running"];
const plateau = ["--characteristic", "PR-01:mold.plateau"];

test("help stands on standard output, an unknown verb is told with the verbs there are", () => {
  expect(steadypour("--help")).toMatchObject({ code: 0, err: "", out: expect.stringContaining("import-runs") });
  for (const verb of ["check", "import-runs", "freeze-limits"]) {
    expect(steadypour(verb, "--help")).toMatchObject({ code: 0, err: "", out: expect.stringContaining(verb) });
  }
  expect(steadypour("chek")).toMatchObject({ code: 2, out: "", err: expect.stringContaining("one of check") });
  expect(steadypour().code).toBe(2);
  expect(steadypour("check", settings, "--loud")).toMatchObject({ code: 2, err: expect.stringContaining("--loud") });
});

test("check says that settings are right, or lists all their mistakes and ends with 2", () => {
  expect(steadypour("check", settings)).toMatchObject({ code: 0, err: "", out: expect.stringContaining("1 station") });
  expect(steadypour("check", "simulator/ostrimvale.yaml").code).toBe(0);
  const wrong = file("wrong.yaml", siteText.replace("zone: CET", "zone: Nowhere").replace("digits: 3", "digits: x"));
  const said = steadypour("check", wrong);
  expect(said).toMatchObject({ code: 2, out: "" });
  expect(said.err.trim().split("\n")).toEqual([
    expect.stringMatching(/wrong\.yaml:3:9: site\.zone: found Nowhere, expected /),
    expect.stringMatching(/wrong\.yaml:\d+:\d+: .*digits: found x, expected a number/),
  ]);
  expect(steadypour("check", join(folder.path, "none.yaml"))).toMatchObject({ code: 2, out: "" });
});

test("past runs come in once, marked as imported, in the unit of their feature", () => {
  const csv = file("past.csv", history(30, "kPa"));
  expect(steadypour("import-runs", csv)).toMatchObject({
    code: 0,
    err: "",
    out: "30 runs taken in, 0 were there already\n",
  });
  expect(steadypour("import-runs", csv)).toMatchObject({ code: 0, out: "0 runs taken in, 30 were there already\n" });
  const runs = entries("run");
  expect(runs).toHaveLength(30);
  expect(runs[0]?.body).toMatchObject({
    imported: true,
    run: { id: "PR-01:20260105T060000000Z", closedBy: "imported", context: { recordedAs: "S-0" } },
    features: [{ feature: "mold.plateau", version: 0, unit: "bar", value: 0.9 }],
  });
});

test("past runs come in while the product has its data open", () => {
  const open = openSiteData(data, siteOf(siteText));
  try {
    expect(steadypour("import-runs", file("past.csv", history(3))).code).toBe(0);
    expect(open.journal.read({ kinds: ["run"] })).toHaveLength(3);
  } finally {
    open.close();
  }
});

test("a run that is there with other values stays as it was, and that is said", () => {
  steadypour("import-runs", file("past.csv", history(2)));
  const said = steadypour("import-runs", file("again.csv", history(2).replace("0.9000", "0.8000")));
  expect(said).toMatchObject({ code: 0, err: expect.stringContaining("PR-01:20260105T060000000Z: is there already") });
  expect(entries("run")[0]?.body.features[0]?.value).toBe(0.9);
});

test("with a bad line nothing comes in and every bad line is named; --skip-bad takes in the good ones", () => {
  const good = "S-1,PR-01,2026-01-05T06:00:00Z,,mold.plateau,0.9,bar";
  const bad = [
    "S-2,PR-99,2026-01-05T07:00:00Z,,mold.plateau,0.9,bar",
    "S-3,PR-01,2026-01-05T08:00:00,,mold.plateau,0.9,bar",
    "S-4,PR-01,2026-01-05T09:00:00Z,2026-01-05T08:00:00Z,mold.plateau,0.9,bar",
    "S-5,PR-01,2026-01-05T10:00:00Z,,mold.plato,0.9,bar",
    'S-6,PR-01,2026-01-05T11:00:00Z,,mold.plateau,"0,9",bar',
    "S-7,PR-01,2026-01-05T12:00:00Z,,mold.plateau,0.9,Cel",
    "S-8,PR-01,2026-01-05T13:00:00Z,,mold.plateau,0.9",
    "S-9,PR-01,2999-01-05T13:00:00Z,,mold.plateau,0.9,bar",
    "S-1,PR-01,2026-01-05T06:00:00Z,2026-01-05T06:01:00Z,mold.plateau,0.9,bar",
    "S-1,PR-01,2026-01-05T06:00:00Z,,mold.plateau,0.9,bar",
  ];
  const csv = file("past.csv", [header, good, ...bad.slice(0, 8), "", good, ...bad.slice(8), ""].join("\r\n"));
  const said = steadypour("import-runs", csv);
  expect(said).toMatchObject({ code: 2, out: "" });
  const lines = said.err.trim().split("\n");
  expect(lines.map((line) => line.replace(`${csv}:`, "").replace(/:.*/, ""))).toEqual(
    ["3", "4", "5", "6", "7", "8", "9", "10", "12", "13", "14"].map(String).concat("11 bad lines"),
  );
  expect(lines[0]).toBe(`${csv}:3:5: station: found PR-99, expected a station of the settings`);
  expect(lines[4]).toBe(`${csv}:7:46: value: found 0,9, expected a number with a decimal point`);
  expect(entries("run")).toHaveLength(0);
  expect(steadypour("import-runs", csv, "--skip-bad")).toMatchObject({
    code: 0,
    out: "1 run taken in, 0 were there already, 11 bad lines left out\n",
  });
});

test.each([
  ["no such column", "run,station,start,end,feature,value\n", "found no column unit"],
  ["a column that would be passed over", `${header},parts\n`, "found the column parts"],
  ["a column twice", `${header},run\n`, "found the column run again"],
  ["semicolons", `${header.replaceAll(",", ";")}\n`, "expected fields with commas"],
  ["nothing at all", "", "expected a first line that names the columns"],
  ["a quote that never ends", `${header}\n"S-1,PR-01`, "without its closing quote"],
])("a file with %s is refused", async (_what, text, words) => {
  expect(await refusal(importRuns, file("past.csv", text))).toContain(words);
});

test("limits are estimated from past runs, printed, and put in force by two people as the next revision", () => {
  steadypour("import-runs", file("past.csv", history(60)));
  const dry = steadypour("freeze-limits", ...plateau, ...window, ...people, "--dry-run");
  expect(dry).toMatchObject({ code: 0, out: expect.stringContaining("60 runs") });
  expect(entries("limits")).toHaveLength(0);
  expect(steadypour("freeze-limits", "--all", ...window, ...people).code).toBe(0);
  steadypour("freeze-limits", ...plateau, ...window, ...people, "--exclude", "PR-01:20260105T060000000Z=sensor");
  const [first, second] = entries("limits").map(({ body }) => body);
  expect(first).toMatchObject({
    id: "PR-01:mold.plateau@1",
    unit: "bar",
    proposedBy: "A. Engineer",
    agreedBy: "B. Manager",
    baseline: { n: 60, imported: 60, excluded: {} },
  });
  expect(first!.location.lower).toBeLessThan(first!.location.centre);
  expect(second).toMatchObject({
    revision: 2,
    baseline: { n: 59, excluded: { "PR-01:20260105T060000000Z": "sensor" } },
  });
});

test("limits are refused with the reason, and nothing is written", () => {
  steadypour("import-runs", file("past.csv", history(10)));
  const said = steadypour("freeze-limits", ...plateau, ...window, ...people);
  expect(said).toMatchObject({ code: 1, out: expect.stringContaining("25 values are needed, 10 are there") });
  expect(entries("limits")).toHaveLength(0);
});

test.each([
  ["one person in both places", [...plateau, ...window, ...people.with(3, "a. engineer")], "expected a second person"],
  ["no reason", [...plateau, ...window, ...people.slice(0, 4)], "--reason"],
  ["a chart that is not there", ["--characteristic", "PR-01:mold", ...window, ...people], "PR-01:mold.plateau"],
  [
    "a time without an offset",
    [...plateau, "--from", "2026-01-05T00:00:00", "--to", "2026-01-06T00:00:00Z", ...people],
    "--from",
  ],
  ["a window upside down", [...plateau, ...window.with(3, "2026-01-01T00:00:00Z"), ...people], "a time after --from"],
  [
    "an excluded run that is not stored",
    [...plateau, ...window, ...people, "--exclude", "PR-01:1=x"],
    "a run that is stored",
  ],
  ["an exclusion without a cause", [...plateau, ...window, ...people, "--exclude", "PR-01:1="], "RUN=CAUSE"],
  ["no chart named", [...window, ...people], "--all or --characteristic"],
])("freeze-limits refuses %s", async (_what, words, expected) => {
  expect(await refusal(freezeLimits, ...words)).toContain(expected);
});
