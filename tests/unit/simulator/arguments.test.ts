import { expect, test } from "vitest";
import { type Options, readArguments } from "../../../simulator/arguments.ts";
import { faultKinds } from "../../../simulator/faults.ts";

const now = Date.UTC(2026, 10, 25, 8, 0, 0, 500);
const hour = 3_600_000;

function options(...words: string[]): Options {
  const read = readArguments(words, now);
  if (read.kind !== "run") throw new Error(JSON.stringify(read));
  return read.options;
}

function mistakes(...words: string[]): readonly string[] {
  const read = readArguments(words, now);
  return read.kind === "wrong" ? read.mistakes : [];
}

test("without a word the plant runs from now with the clock, with nothing wrong", () => {
  const { url, key, speed, fromMs, toMs, faults } = options();
  expect({ url, speed, toMs, faults }).toEqual({
    url: "mqtt://127.0.0.1:1883",
    speed: 1,
    toMs: Number.POSITIVE_INFINITY,
    faults: [],
  });
  expect(fromMs).toBe(now - 500);
  expect(key).toEqual({ seed: 1, firstMs: fromMs });
});

test("as fast as it goes, the hours asked for end now", () => {
  const { fromMs, toMs } = options("--speed", "max", "--hours", "2");
  expect([fromMs, toMs]).toEqual([now - 500 - 2 * hour, now - 500]);
});

test("live starts a day ago and has no end", () => {
  const { fromMs, toMs } = options("--speed=live");
  expect([fromMs, toMs]).toEqual([now - 500 - 24 * hour, Number.POSITIVE_INFINITY]);
});

test("a fault's start counts from the first instant", () => {
  const { faults, fromMs } = options(
    "--from=2026-11-24T08:00:00+01:00",
    "--fault",
    "cold-metal@PO-A@1h20min+25min",
    "--fault",
    "silent@GW-DR",
  );
  expect(fromMs).toBe(Date.UTC(2026, 10, 24, 7));
  expect(faults).toEqual([
    { name: "cold-metal", station: "PO-A", fromMs: fromMs + 80 * 60_000, toMs: fromMs + 105 * 60_000 },
    { name: "silent", station: "GW-DR", fromMs, toMs: Number.POSITIVE_INFINITY },
  ]);
});

test("every mistake is told at once, with what was expected", () => {
  const words =
    "--url localhost --seed=-1 --speed quick --hours 0 --from yesterday --fault cold-metal@PR-01 --fault rust@PO-A --fault cold-metal@PO-A@soon --colour --progress";
  expect(mistakes(...words.split(" "))).toEqual([
    "--colour: no such option, --help lists them",
    "--progress: found nothing after it, expected a value",
    "--url: found localhost, expected a URL such as mqtt://127.0.0.1:1883",
    "--seed: found -1, expected a whole number from 0 to 4294967295",
    "--speed: found quick, expected a number above 0, max or live",
    "--hours: found 0, expected a number of hours above 0",
    "--from: found yesterday, expected an ISO 8601 time with an offset, such as 2026-11-25T06:00:00Z",
    "--fault cold-metal@PR-01: cold-metal cannot be at PR-01, expected PO-A",
    `--fault rust@PO-A: no fault is called rust, expected one of ${faultKinds.map((k) => k.name).join(", ")}`,
    "--fault cold-metal@PO-A@soon: cannot read the time soon, expected START or START+DURATION such as 20min+1h30min",
  ]);
});

test.each([
  ["--seed", "1", "--seed", "2"],
  ["--first=2026-11-26T00:00:00Z"],
  ["--fault=cold-metal@PO-A@0+0"],
  ["--fault=cold-metal@PO-A@1h@2h"],
  ["now"],
])("%s %s is a mistake", (...words) => {
  expect(mistakes(...words)).toHaveLength(1);
});

test("help comes before everything", () => {
  expect(readArguments(["--speed", "quick", "--help"], now)).toEqual({ kind: "help" });
});

test("a fault may have a size, and be of one series; one that has none is told so", () => {
  const { faults } = options("--fault", "slow-valve@PR-03@2h+1h*0.5", "--fault", "stuck@AO-1/t2@6h");
  expect(faults.map(({ name, station, size }) => [name, station, size])).toEqual([
    ["slow-valve", "PR-03", 0.5],
    ["stuck", "AO-1/t2", undefined],
  ]);
  expect(mistakes("--fault", "motor-out@CT-A1@2h*0.5")[0]).toMatch(/motor-out has no size/);
  expect(mistakes("--fault", "slow-valve@PR-03@2h*0")[0]).toMatch(/cannot read the size 0/);
});

test("the thirty days, the disturbances and the files are asked for by name", () => {
  const asked = options("--script", "30-day", "--disturb", "--without-hand", "--to-file", "a.jsonl", "--truth=b.jsonl");
  expect(asked.faults.length).toBeGreaterThan(15);
  const { disturb, withoutHand, toFile, truth, progress, occasional } = asked;
  expect({ disturb, withoutHand, toFile, truth, progress, occasional }).toEqual({
    disturb: true,
    withoutHand: true,
    toFile: "a.jsonl",
    truth: "b.jsonl",
    progress: null,
    occasional: false,
  });
  expect(mistakes("--script", "40-day")).toEqual(["--script: found 40-day, expected 30-day"]);
});

test("a week of five days is told, and any other refused", () => {
  expect(options().key.week).toBeUndefined();
  expect(options("--week", "7").key.week).toBeUndefined();
  expect(options("--week=5").key.week).toBe(5);
  expect(mistakes("--week", "6")).toEqual(["--week: found 6, expected 5 or 7"]);
});

test("a form needs the accounts and PINs that open it", () => {
  expect(options().form).toBeNull();
  const words = ["--form", "http://127.0.0.1:8080", "--accounts", "a.txt", "--pins", "p.txt"];
  expect(options(...words).form).toEqual({ url: "http://127.0.0.1:8080", accounts: "a.txt", pins: "p.txt" });
  expect(mistakes(...words.slice(0, 4))).toEqual([expect.stringContaining("expected all three or none")]);
  expect(mistakes("--form", "mqtt://x", ...words.slice(2))).toContainEqual(
    expect.stringContaining("--form: found mqtt://x"),
  );
});
