import { expect, test } from "vitest";
import { traced, traceReader } from "../../../../api/read-model/trace.ts";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import type { StoredSample } from "../../../../collector/store/sample-store.ts";
import type { Run } from "../../../../spc/model/run.ts";
import { siteText } from "../../platform/settings/site-text.ts";

const loaded = loadSettings(Buffer.from(siteText));
if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
const [pressure, step] = Object.values(loaded.site.stations[0]!.series).flatMap(traced);
const startMs = Date.UTC(2026, 10, 25, 12);
const run: Run = {
  ...{ id: "PR-01:x", station: "PR-01", startMs, endMs: startMs + 10_000, closedBy: "end-condition" },
  ...{ segments: [], context: {} },
};

const reader = (times: readonly number[], bad: readonly number[] = []) =>
  traceReader({
    read: async ({ series }) =>
      times.map((t): StoredSample => {
        return { series, tMs: startMs + t, value: t, quality: bad.includes(t) ? "bad" : "good", late: false };
      }),
  });

test("no line is drawn over more than three expected spacings: what never came is a hole", async () => {
  // 50 ms are promised while a shot runs.
  const { tMs, value } = await reader([0, 50, 200, 400, 450], [450]).of(run, pressure!, 800);
  expect(tMs).toEqual([0, 50, 200, 250, 400, 450]);
  expect(value).toEqual([0, 50, 200, null, 400, null]);
});

test("of events nothing is expected, so nothing is missing between them", async () => {
  expect((await reader([0, 9_000]).of(run, step!, 800)).value).toEqual([0, 9_000]);
});
