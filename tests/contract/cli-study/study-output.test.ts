import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { closeSync, existsSync, openSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { temporaryFolder } from "../../temporary-folder.ts";
import { study, tableIn } from "./study-process.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

function wave(count: number, over: Readonly<Record<number, number>> = {}): string {
  const rows = Array.from({ length: count }, (_, at) => (over[at] ?? 10 + Math.sin(at * 7.3)).toFixed(3));
  return `w\n${rows.join("\n")}\n`;
}

test("help stands on standard output and names every form, option and an example for each family", () => {
  const { code, out, err } = study("--help");
  expect({ code, err }).toEqual({ code: 0, err: "" });
  for (const words of [
    "three-way",
    "u-prime",
    "z-w",
    "mewma",
    "batch-mean",
    "--baseline FROM:TO",
    "--json",
    "--html FILE",
  ]) {
    expect(out).toContain(words);
  }
  expect(out.match(/^ {2}steadypour study /gm)?.length).toBeGreaterThan(6);
  expect(Math.max(...out.split("\n").map((line) => line.length))).toBeLessThanOrEqual(120);
});

test("without a terminal the chart is drawn in eighty columns, without colours, with what is out in words", () => {
  const file = tableIn(folder.path, wave(60, { 41: 30 }));
  const { code, out, err } = study(file, "--value", "w", "--chart", "individuals");
  expect({ code, err }).toEqual({ code: 0, err: "" });
  expect(Math.max(...out.split("\n").map((line) => line.length))).toBeLessThanOrEqual(80);
  expect(out).not.toContain("\u001b");
  expect(out).toMatch(/point 41: 30, above the upper limit/);
  expect(out.replaceAll(/\s+/g, " ")).toContain("They rest on the mean moving range");
});

test("with no chart asked for, one is chosen and it is said why", () => {
  expect(study(tableIn(folder.path, wave(60)), "--value", "w").out.replaceAll(/\s+/g, " ")).toMatch(
    /No chart was asked for; this one was chosen: \w/,
  );
});

test("picture and page are written whole, said on stderr, and hold nothing from elsewhere", () => {
  const file = tableIn(folder.path, wave(60, { 41: 30 }));
  const [svg, html] = [join(folder.path, "a.svg"), join(folder.path, "a.html")];
  const { code, out, err } = study(
    file,
    "--value",
    "w",
    "--chart",
    "individuals",
    "--json",
    "--svg",
    svg,
    "--html",
    html,
  );
  expect({ code, err }).toEqual({ code: 0, err: `${svg}: written\n${html}: written\n` });
  expect((JSON.parse(out) as { n: number }).n).toBe(60);
  expect(readFileSync(svg, "utf8")).toMatch(/^<svg xmlns=.*class="mark out".*<\/svg>\n$/s);
  const page = readFileSync(html, "utf8");
  expect(page).not.toMatch(/<script|<link|@import|\ssrc=|url\(|https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
  expect(page.match(/<th scope="row">/g)).toHaveLength(120);
  expect(readdirSync(folder.path).sort()).toEqual(["a.html", "a.svg", "some.csv"]);
});

test("a picture that cannot be written leaves the one that was there, and nothing beside it", () => {
  const file = tableIn(folder.path, wave(60));
  const kept = tableIn(folder.path, "the old one", "old.svg");
  const said = study(file, "--value", "none", "--svg", kept);
  expect(said.code).toBe(2);
  expect(readFileSync(kept, "utf8")).toBe("the old one");
  expect(study(file, "--value", "w", "--svg", folder.path)).toMatchObject({ code: 2, out: "" });
  expect(existsSync(folder.path)).toBe(true);
  expect(readdirSync(folder.path).sort()).toEqual(["old.svg", "some.csv"]);
});

test.each(["--json", "--rules=none"])("a reader that goes away ends it quietly (%s)", async (option) => {
  const file = tableIn(folder.path, wave(300_000));
  const words = ["dist/api/cli/main.js", "study", file, "--value", "w", "--chart", "individuals", option];
  const child = spawn(process.execPath, words, { stdio: ["ignore", "pipe", "pipe"] });
  let err = "";
  child.stderr.setEncoding("utf8").on("data", (text: string) => {
    err += text;
  });
  // As `head -c 10` does: a little is read, then the pipe is closed.
  child.stdout.once("data", () => child.stdout.destroy());
  const [code] = (await once(child, "close")) as [number | null];
  expect({ code, err }).toEqual({ code: 0, err: "" });
});

test.skipIf(!existsSync("/dev/full"))("a full disk under standard output is told in one line, exit 1", () => {
  const file = tableIn(folder.path, wave(2000));
  const full = openSync("/dev/full", "w");
  const words = ["dist/api/cli/main.js", "study", file, "--value", "w", "--json"];
  const { status, stderr } = spawnSync(process.execPath, words, { stdio: ["ignore", full, "pipe"], encoding: "utf8" });
  closeSync(full);
  expect(status).toBe(1);
  expect(stderr).toBe("steadypour study: standard output cannot be written (ENOSPC)\n");
});

test("a slow reader gets all of it", async () => {
  const file = tableIn(folder.path, wave(20_000));
  const words = ["dist/api/cli/main.js", "study", file, "--value", "w", "--chart", "individuals", "--json"];
  const child = spawn(process.execPath, words, { stdio: ["ignore", "pipe", "inherit"] });
  let out = "";
  for await (const chunk of child.stdout.setEncoding("utf8")) {
    out += chunk as string;
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
  expect((JSON.parse(out) as { charts: { points: unknown[] }[] }).charts[0]?.points).toHaveLength(20_000);
});
