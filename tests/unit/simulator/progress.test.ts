import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, expect, test } from "vitest";
import { sources } from "../../../simulator/plant-layout.ts";
import { type Progress, readProgress, writeProgress } from "../../../simulator/progress.ts";

const folder = mkdtempSync(join(tmpdir(), "plant-progress-"));
const file = join(folder, "progress.json");
const day = 86_400_000;
const now = Date.UTC(2026, 10, 25);

afterEach(() => rmSync(file, { force: true }));
afterAll(() => rmSync(folder, { recursive: true }));

test("the first start begins at the beginning", () => {
  expect(readProgress(file, now - day, now, day)["GW-PR"]).toEqual({ untilMs: now - day, seq: 0 });
});

test("a later start goes on where each gateway was acknowledged", () => {
  const reached = sources.map((source, i) => [source, { untilMs: now - i * 1000, seq: 40 + i }]);
  const progress = Object.fromEntries(reached) as Progress;
  writeProgress(file, progress);
  expect(readProgress(file, now - day, now, day)).toEqual(progress);
  expect(readdirSync(folder)).toEqual(["progress.json"]);
});

test("after more than a day only the last day is sent", () => {
  const reached = sources.map((source) => [source, { untilMs: now - 3 * day, seq: 7 }]);
  writeProgress(file, Object.fromEntries(reached) as Progress);
  expect(readProgress(file, now - 9 * day, now, day)["GW-CT"]).toEqual({ untilMs: now - day, seq: 7 });
});

test("a file that cannot be read is named", () => {
  writeFileSync(file, JSON.stringify({ "GW-PR": { until: "some day", seq: 1 } }));
  expect(() => readProgress(file, 0, now, day)).toThrow(/progress\.json: cannot read how far GW-PR was/);
});
