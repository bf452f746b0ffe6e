import { expect, test } from "vitest";
import type { RoleSample, Run } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { changeSegmenter } from "../../../../spc/segment/change.ts";
import type { ChangeConfig } from "../../../../spc/segment/segmenter.ts";
import { at, closedRuns, everySecond, inShort, inTimeOrder } from "./samples.ts";

const config: ChangeConfig = { by: "change", role: "lot", key: "lot", timeoutMs: 1_000_000, gapMs: 500_000 };
const cut = (samples: readonly RoleSample[], more: Partial<ChangeConfig> = {}): readonly Run[] =>
  closedRuns(advance(changeSegmenter("BD-1", { ...config, ...more }), samples).out);
const lot = (tS: number, name: string, value = 1, more: Record<string, string> = {}): RoleSample =>
  at(tS, "lot", value, { lot: name, ...more });

test("a lot lasts until the next one, and its repeats change nothing", () => {
  const runs = cut([lot(0, "BL-1"), lot(100, "BL-1"), lot(250, "BL-2"), lot(400, "BL-3")]);
  expect(runs.map(inShort)).toEqual(["0-250 end-condition", "250-400 end-condition"]);
  expect(runs.map(({ context }) => context["lot"])).toEqual(["BL-1", "BL-2"]);
});

test("the context is what all events of the lot said alike", () => {
  const runs = cut([
    lot(0, "BL-1", 1, { bead: "iron", n: "1" }),
    lot(50, "BL-1", 1, { bead: "iron", n: "2" }),
    lot(90, "BL-2"),
  ]);
  expect(runs[0]!.context).toEqual({ lot: "BL-1", bead: "iron" });
});

test("with an idle time a ladle ends with its last pour, whether time or the next ladle tells", () => {
  const pour = (tS: number, name: string) => [lot(tS, name), lot(tS + 20, name, 0)];
  const samples = [...pour(0, "L-1"), ...pour(70, "L-1"), ...pour(150, "L-2"), at(400, "other", 1)];
  expect(cut(samples, { idleMs: 120_000 }).map(inShort)).toEqual(["0-90 end-condition", "150-170 end-condition"]);
});

test("a closing state ends the run of that name at once, and one of another name does not", () => {
  expect(
    cut([lot(0, "BL-1"), lot(30, "BL-2", 0), lot(60, "BL-1", 0), lot(90, "BL-1")], { closesAt: 0 }).map(inShort),
  ).toEqual(["0-60 end-condition"]);
});

test("an event that names nothing, has no number or is bad tells nothing", () => {
  const bad: RoleSample = { ...lot(30, "BL-2"), quality: "bad" };
  const samples = [
    lot(0, "BL-1"),
    at(10, "lot", 1),
    lot(20, ""),
    bad,
    at(40, "lot", null, { lot: "BL-2" }),
    lot(50, "BL-3"),
  ];
  expect(cut(samples).map(inShort)).toEqual(["0-50 end-condition"]);
});

test("a lot that timed out is not opened again by its own name", () => {
  const samples = [
    lot(0, "BL-1"),
    ...[300, 600, 900, 1200, 1500].map((tS) => lot(tS, "BL-1")),
    lot(1600, "BL-2"),
    lot(1700, "BL-3"),
  ];
  expect(cut(samples).map(inShort)).toEqual(["0-1000 timeout", "1600-1700 end-condition"]);
});

test("a silence of the station ends the run there, and the name told again begins another", () => {
  const samples = inTimeOrder([lot(0, "BL-1")], everySecond("storage-t", 0, 10, 20), [
    lot(900, "BL-1"),
    lot(950, "BL-2"),
  ]);
  expect(cut(samples).map(inShort)).toEqual(["0-9 gap", "900-950 end-condition"]);
});

test.each([
  [{ timeoutMs: 0 }, "a timeout above 0"],
  [{ idleMs: 0 }, "an idle time must be above 0 ms"],
])("%j cannot cut runs", (wrong, why) => {
  expect(() => changeSegmenter("BD-1", { ...config, ...wrong })).toThrow(why);
});
