import { spawnSync } from "node:child_process";
import { readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { loadSettings } from "../../../collector/platform/settings/load.ts";
import { openSiteData } from "../../../collector/start.ts";
import { eventually } from "../../eventually.ts";
import { nodeOptions, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { siteText } from "../../unit/platform/settings/site-text.ts";

const t = Date.UTC(2026, 8, 25, 6);
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

const words = (...more: readonly string[]) => ["dist/api/cli/main.js", "import", ...more, "--config", settings];

function importing(...more: readonly string[]) {
  const env = Object.fromEntries(Object.entries(process.env).filter(([name]) => !name.startsWith("STEADYPOUR_")));
  const { status, stdout, stderr } = spawnSync(process.execPath, [...nodeOptions, ...words(...more)], {
    env,
    encoding: "utf8",
  });
  return { code: status, out: stdout, err: stderr };
}

function history(count: number, value: (i: number) => string = (i) => (0.5 + (i % 40) / 100).toFixed(2)): string {
  const lines = Array.from({ length: count }, (_, i) => `PR-01/pressure,${t + 50 * i},${value(i)},bar`);
  return `series,time,value,unit\n${lines.join("\n")}\n`;
}

function file(name: string, text: string): string {
  const path = join(folder.path, name);
  writeFileSync(path, text);
  return path;
}

function stored() {
  const loaded = loadSettings(Buffer.from(siteText));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  const open = openSiteData(data, loaded.site);
  try {
    const range = { series: "PR-01/pressure", fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
    return { counts: open.samples.counts(), rows: open.samples.read(range, { includeLate: true }) };
  } finally {
    open.close();
  }
}

test("a file goes in once, however often it is given", () => {
  const past = file("past.csv", history(1000));
  const ms = ["--time", "ms", "--data", data];
  expect(importing(past, ...ms)).toEqual({ code: 0, out: "1000 readings taken in, 0 were there already\n", err: "" });
  expect(importing(past, ...ms)).toMatchObject({ code: 0, out: "0 readings taken in, 1000 were there already\n" });
  const { counts, rows } = stored();
  expect(counts).toMatchObject({ received: 2000, stored: 1000, duplicate: 1000, quarantined: 0, acknowledged: 0 });
  expect(rows.map(({ tMs, value }) => [tMs, value])).toEqual(
    Array.from({ length: 1000 }, (_, i) => [t + 50 * i, Number((0.5 + (i % 40) / 100).toFixed(2))]),
  );
  expect(rows.some(({ late }) => late)).toBe(false);
  expect(readdirSync(data).filter((name) => name.startsWith("import-"))).toEqual([]);
});

test("with a bad line nothing is taken in; --skip-bad takes the others", () => {
  const past = file(
    "past.csv",
    history(10, (i) => (i === 3 ? "n/a" : "0.7")),
  );
  const ms = ["--time", "ms", "--data", data];
  const line = `PR-01/pressure,${t + 150},n/a,bar`;
  const place = `${past}:5:${line.indexOf("n/a") + 1}: not-a-number: expected a finite number, found "n/a"\n`;
  expect(importing(past, ...ms)).toEqual({ code: 2, out: "", err: `${place}1 mistake: nothing was taken in\n` });
  expect(stored().rows).toEqual([]);
  expect(importing(past, ...ms, "--skip-bad")).toEqual({
    ...{ code: 0, err: place },
    out: "9 readings taken in, 0 were there already, 1 bad one left out\n",
  });
});

test("a first line that names no columns ends it, whatever is skipped", () => {
  const past = file("past.csv", history(10).replace("series", "tag"));
  const { code, out, err } = importing(past, "--time", "ms", "--data", data, "--format", "csv-long", "--skip-bad");
  expect([code, out]).toEqual([2, ""]);
  expect(err).toContain(`${past}: its first line does not say what the columns are: nothing was taken in\n`);
});

test("a file series by series has later series late, and that is told once", () => {
  const hour = (series: string) =>
    Array.from({ length: 8000 }, (_, i) => `${series},${t + 450 * i},0.7,bar\n`).join("");
  const past = file("past.csv", `series,time,value,unit\n${hour("PR-01/pressure")}PR-01/step,${t},1,1\n`);
  const words = "1 of them came late, older than what their source or station had already: they show in trends";
  expect(importing(past, "--time", "ms", "--data", data)).toMatchObject({
    ...{ code: 0, out: "8001 readings taken in, 0 were there already\n", err: expect.stringContaining(words) },
  });
  expect(stored().counts).toMatchObject({ stored: 8001, late: 1 });
  expect(importing(past, "--time", "ms", "--data", data)).toMatchObject({ code: 0, err: "" });
});

test("a spreadsheet's own CSV is taken: semicolons, decimal commas, local times, empty lines at its end", () => {
  const rows = [
    "Time;PR-01/pressure;PR-01/step",
    "25.09.2026 08:00:00;0,85;1",
    "25.09.2026 08:00:01,5;0,86;",
    ";;",
    ";;",
  ];
  const sheet = file("sheet.csv", `\uFEFF${rows.join("\r\n")}\r\n`);
  const local = ["--data", data, "--time", "local", "--decimal", "comma", "--unit", "pressure=bar"];
  expect(importing(sheet, ...local)).toEqual({ code: 0, out: "3 readings taken in, 0 were there already\n", err: "" });
  expect(stored().rows.map(({ tMs, value }) => [tMs - t, value])).toEqual([
    [0, 0.85],
    [1500, 0.86],
  ]);
  const nowhere = importing(sheet, ...local, "--zone", "Nowhere/Else");
  expect(nowhere).toMatchObject({ code: 2, out: "", err: expect.stringContaining("--zone: found Nowhere/Else") });
});

test("an import that is killed goes on where it was, and nothing is there twice or missing", async () => {
  const count = 150_000;
  const past = file("past.csv", history(count));
  const args = words(past, "--time", "ms", "--data", data);
  const first = startNode(args);
  await eventually("it has come some way", () => resumePoint(data), 60_000, 1);
  first.signal("SIGKILL");
  await first.exit();
  expect(stored().rows.length).toBeLessThan(count);
  const { code, err, out } = importing(past, "--time", "ms", "--data", data);
  expect({ code, err }).toEqual({
    code: 0,
    err: expect.stringMatching(/goes on at line \d+, where it was broken off/),
  });
  expect(out).toMatch(/^\d+ readings taken in/);
  const { counts, rows } = stored();
  expect(rows).toHaveLength(count);
  expect(counts.stored).toBe(count);
  expect(counts.received).toBe(counts.stored + counts.duplicate);
});

function resumePoint(where: string): boolean {
  try {
    return readdirSync(where).some((name) => /^import-.*\.json$/.test(name));
  } catch {
    return false;
  }
}

test("wide CSV and line protocol are known by their first line", () => {
  const wide = file("wide.csv", `time,PR-01/pressure,PR-01/step\nunit,kPa,\n${new Date(t).toISOString()},80,1\n`);
  expect(importing(wide, "--data", data)).toMatchObject({
    code: 0,
    out: expect.stringMatching(/^2 readings taken in/),
  });
  const points = file("points", `PR-01 pressure=0.9,step=2i ${t + 50}000000\n`);
  expect(importing(points, "--data", data, "--unit", "pressure=bar")).toMatchObject({ code: 0, err: "" });
  expect(stored().rows.map(({ tMs, value }) => [tMs - t, value])).toEqual([
    [0, expect.closeTo(0.8, 12)],
    [50, 0.9],
  ]);
  expect(importing(file("prose.txt", "Dear Sir\n"), "--data", data)).toMatchObject({ code: 2, out: "" });
  expect(importing(join(folder.path, "none.csv"), "--data", data)).toMatchObject({ code: 2, out: "" });
  const utf16 = join(folder.path, "utf16.txt");
  writeFileSync(utf16, "\uFEFFseries\ttime\tvalue\n", "utf16le");
  expect(importing(utf16, "--data", data)).toMatchObject({ code: 2, err: `${utf16}:1:1: expected UTF-8 text\n` });
});

test("bytes that are no UTF-8 are told with their line", () => {
  const path = join(folder.path, "latin.csv");
  writeFileSync(path, Buffer.from(`${history(1)}PR-01/pressure,${t + 60_000},0.7,b\xe4r\n`, "latin1"));
  expect(importing(path, "--time", "ms", "--data", data)).toMatchObject({
    ...{ code: 2, out: "" },
    err: `${path}:3:1: not-utf8: expected UTF-8 text\n1 mistake: nothing was taken in\n`,
  });
});

test("while the product holds the folder it says how to hand the readings over instead", async () => {
  const product = startNode(["dist/api/main.js"], {
    ...{ STEADYPOUR_CONFIG: settings, STEADYPOUR_DATA: data },
    ...{ STEADYPOUR_HTTP_PORT: "0", STEADYPOUR_MQTT_PORT: "0" },
  });
  try {
    const [, address = ""] = await product.says(/"http":"([^"]+)"/, 60_000);
    const past = file("past.csv", history(9000));
    const refused = importing(past, "--time", "ms", "--data", data);
    expect(refused).toMatchObject({ code: 1, out: "", err: expect.stringContaining("--to http://127.0.0.1:8080") });
    expect(importing(past, "--time", "ms", "--to", address)).toMatchObject({
      ...{ code: 0, err: "", out: "9000 readings taken in, 0 were there already\n" },
    });
    expect(importing(past, "--time", "ms", "--to", address)).toMatchObject({
      out: "0 readings taken in, 9000 were there already\n",
    });
    // Steps among their readings, over minutes: handed over in one order or the other, neither is late.
    const minutes = Array.from({ length: 3000 }, (_, i) => {
      const at = t + 3_600_000 + 500 * i;
      return `PR-01/pressure,${at},0.7,bar\n${i % 100 === 0 ? `PR-01/step,${at},${(i / 100) % 2},1\n` : ""}`;
    });
    const mixed = file("mixed.csv", `series,time,value,unit\n${minutes.join("")}`);
    expect(importing(mixed, "--time", "ms", "--to", address)).toEqual({
      ...{ code: 0, err: expect.not.stringContaining("late"), out: "3030 readings taken in, 0 were there already\n" },
    });
  } finally {
    await product.stop();
  }
});
