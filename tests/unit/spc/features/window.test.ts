import { expect, test } from "vitest";
import { lastOf, longEnough, segmentWindow, wholeRun } from "../../../../spc/features/window.ts";
import { codeOf, runOf, startMs } from "./traces.ts";

const segments = [
  ["fill", 0, 10],
  ["steam", 10, 20],
  ["fill", 20, 25],
] as const;

test("a segment is found by name, and the last of its name counts", () => {
  expect(segmentWindow(runOf(30, segments), "fill")).toMatchObject({
    ok: true,
    value: { name: "fill", fromMs: startMs + 20_000, toMs: startMs + 25_000 },
  });
});

test("a segment that is not there is refused by name", () => {
  expect(segmentWindow(runOf(30, segments), "vent")).toMatchObject({
    ok: false,
    refusal: { code: "segment-missing", detail: "the run has no segment vent" },
  });
});

test.each(["timeout", "gap"] as const)("a run closed by %s spoils the segment it was in, and no earlier one", (by) => {
  const run = runOf(25, segments, by);
  expect(codeOf(segmentWindow(run, "fill"))).toBe("run-cut-short");
  expect(segmentWindow(run, "steam").ok).toBe(true);
  expect(codeOf(wholeRun(run))).toBe("run-cut-short");
});

test.each(["end-condition", "operator"] as const)("a run closed by %s has a true end", (by) => {
  expect(wholeRun(runOf(25, segments, by)).ok).toBe(true);
  expect(segmentWindow(runOf(25, segments, by), "fill").ok).toBe(true);
});

test("the last stretch of a window ends where the window ends", () => {
  const window = { name: "steam", fromMs: 0, toMs: 10_000 };
  expect(lastOf(window, 4000)).toMatchObject({ ok: true, value: { fromMs: 6000, toMs: 10_000 } });
  expect(lastOf(window, 10_000)).toMatchObject({ ok: true, value: { fromMs: 0, toMs: 10_000 } });
});

test("a window shorter than what is asked of it says how short", () => {
  const window = { name: "steam", fromMs: 0, toMs: 10_000 };
  for (const outcome of [lastOf(window, 10_001), longEnough(window, 10_001)]) {
    expect(outcome).toMatchObject({ ok: false, refusal: { code: "segment-too-short", needs: 10.001, has: 10 } });
  }
});
