import { expect, test } from "vitest";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { siteText } from "./site-text.ts";

function load(text: string) {
  return loadSettings(Buffer.from(`${siteText}${text}`));
}

test("nothing is bounded unless told", () => {
  expect(load("")).toMatchObject({
    site: { retention: { readings: null, waveforms: null, events: null, snapshots: null }, diskBudgetBytes: null },
  });
});

test("each class has its own time, and sizes are powers of ten", () => {
  expect(load("retention: { readings: 400 d, snapshots: 36 h, events: forever }\ndiskBudget: 1.5 GB\n")).toMatchObject({
    site: {
      retention: { readings: 400 * 86_400_000, waveforms: null, events: null, snapshots: 36 * 3_600_000 },
      diskBudgetBytes: 1_500_000_000,
    },
  });
});

test.each([
  ["retention: { readings: 0 d }", "forever, or a time such as 400 d or 36 h"],
  ["retention: { readings: 30 }", ""],
  ["retention: { runs: 30 d }", ""],
  ["diskBudget: 50 GiB", "a size above 0 such as 500 MB, 50 GB, 1.5 TB"],
  ["diskBudget: 0 GB", "a size above 0 such as 500 MB, 50 GB, 1.5 TB"],
])("%s is a mistake with its line", (text, expected) => {
  const loaded = load(`${text}\n`);
  if (loaded.ok) throw new Error("it was taken");
  expect(loaded.mistakes).toHaveLength(1);
  expect(loaded.mistakes[0]).toMatchObject({ line: siteText.split("\n").length });
  expect(JSON.stringify(loaded.mistakes[0])).toContain(expected);
});
