import { expect, test } from "vitest";
import type { RoleSample, Run } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { itemsSegmenter } from "../../../../spc/segment/items.ts";
import type { ItemsConfig } from "../../../../spc/segment/segmenter.ts";
import { at, closedRuns, everySecond, inShort, inTimeOrder } from "./samples.ts";

const config: ItemsConfig = { by: "items", role: "flask", key: "flask", timeoutMs: 10_000_000 };
const cut = (samples: readonly RoleSample[], more: Partial<ItemsConfig> = {}): readonly Run[] =>
  closedRuns(advance(itemsSegmenter("CO-A", { ...config, ...more }), samples).out);
const flask = (tS: number, name: string, value: number, more: Record<string, string> = {}): RoleSample =>
  at(tS, "flask", value, { flask: name, ...more });

test("flasks that stand side by side are runs of their own, each from in to out", () => {
  const runs = cut([
    flask(0, "FA-1", 1),
    flask(0, "FA-2", 1),
    flask(60, "FA-3", 1),
    flask(90, "FA-2", 0),
    flask(120, "FA-1", 0),
  ]);
  expect(runs.map(inShort)).toEqual(["0-90 end-condition", "0-120 end-condition"]);
  expect(runs.map(({ id }) => id)).toEqual(["CO-A~FA-2:20261125T080000000Z", "CO-A~FA-1:20261125T080000000Z"]);
});

test("only events of its own name tell of an item, and the newest word holds", () => {
  const samples = [
    flask(0, "FA-1", 1, { part: "A" }),
    flask(10, "FA-2", 1, { part: "B" }),
    flask(50, "FA-1", 0, { ladle: "LA-9" }),
  ];
  expect(cut(samples)[0]!.context).toEqual({ flask: "FA-1", part: "A", ladle: "LA-9" });
});

test("an item that comes in twice is the same one, and one that goes out and never came is none", () => {
  expect(
    cut([
      flask(0, "FA-1", 0),
      flask(5, "FA-1", 1),
      flask(20, "FA-1", 1),
      flask(50, "FA-1", 0),
      flask(60, "FA-1", 0),
    ]).map(inShort),
  ).toEqual(["5-50 end-condition"]);
});

test("an item that is never taken out ends at its timeout, and the others go on", () => {
  const samples = inTimeOrder([flask(0, "FA-1", 1), flask(500, "FA-2", 1)], everySecond("sand-t", 0, 1200, 60), [
    flask(1200, "FA-2", 0),
  ]);
  expect(cut(samples, { timeoutMs: 900_000, gapMs: 100_000 }).map(inShort)).toEqual([
    "0-900 timeout",
    "500-1200 end-condition",
  ]);
});

test("a silence of the station ends all that is there", () => {
  const samples = [flask(0, "FA-1", 1), flask(10, "FA-2", 1), at(20, "sand-t", 60), flask(300, "FA-1", 0)];
  expect(cut(samples, { gapMs: 100_000 }).map(inShort)).toEqual(["0-20 gap", "10-20 gap"]);
});

test("where more come in than may be there, the oldest ends", () => {
  const samples = [flask(0, "FA-1", 1), flask(10, "FA-2", 1), flask(20, "FA-3", 1), flask(30, "FA-3", 0)];
  expect(cut(samples, { most: 2 }).map(inShort)).toEqual(["0-20 timeout", "20-30 end-condition"]);
});

test("names from outside never make two items one, nor an id that is none", () => {
  const runs = cut([flask(0, "F 1", 1), flask(0, "F~1", 1), flask(9, "F 1", 0), flask(9, "F~1", 0)]);
  expect(runs.map(({ id }) => id.split(":")[0])).toEqual(["CO-A~F~20~1", "CO-A~F~7e~1"]);
});

test.each([
  [{ opensAt: 1, closesAt: 1 }, "at the same state 1"],
  [{ most: 0 }, "at least one item"],
  [{ timeoutMs: -1 }, "a timeout above 0"],
])("%j cannot cut runs", (wrong, why) => {
  expect(() => itemsSegmenter("CO-A", { ...config, ...wrong })).toThrow(why);
});
