import { expect, test } from "vitest";
import type { RoleSample, Run } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { markerSegmenter } from "../../../../spc/segment/marker.ts";
import { at, closedRuns, everySecond, inShort, inTimeOrder } from "./samples.ts";

const cut = (samples: readonly RoleSample[]): readonly Run[] =>
  closedRuns(advance(markerSegmenter("PO-A", { by: "marker", role: "pour", timeoutMs: 120_000 }), samples).out);

test("1 opens a run and 0 closes it, without segments", () => {
  const runs = cut([at(0, "pour", 1, { part: "OFW-2107", flask: "F-12" }), at(11, "pour", 0)]);
  expect(runs.map(inShort)).toEqual(["0-11 end-condition"]);
  expect(runs[0]!.context).toEqual({ part: "OFW-2107", flask: "F-12" });
});

test("a 1 told again for the same flask is a repeat, for another flask it is the next run", () => {
  const flask = (name: string) => ({ flask: name });
  const samples = [
    at(0, "pour", 1, flask("F-12")),
    at(4, "pour", 1, flask("F-12")),
    at(8, "pour", 1, { ...flask("F-12"), ladle: "L-3" }),
    at(12, "pour", 1, flask("F-13")),
    at(20, "pour", 0),
  ];
  const runs = cut(samples);
  expect(runs.map(inShort)).toEqual(["0-12 gap", "12-20 end-condition"]);
  expect(runs.map(({ context }) => context)).toEqual([{ flask: "F-12", ladle: "L-3" }, { flask: "F-13" }]);
});

test("a 1 after a timed-out run opens when it tells of another batch", () => {
  const stream = everySecond("stream", 0, 200, 750);
  const samples = inTimeOrder([at(0, "pour", 1, { flask: "F-12" })], stream, [
    at(150, "pour", 1, { flask: "F-13" }),
    at(160, "pour", 0),
  ]);
  expect(cut(samples).map(inShort)).toEqual(["0-120 timeout", "150-160 end-condition"]);
});

test("a 0 that closes nothing, and any other number, are harmless", () => {
  expect(
    cut([at(0, "pour", 0), at(1, "pour", 1), at(3, "pour", 2), at(5, "pour", 0), at(6, "pour", 0)]).map(inShort),
  ).toEqual(["1-5 end-condition"]);
});
