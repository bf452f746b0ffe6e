import { expect, test } from "vitest";
import { joinedReadings } from "../../../collector/store/joined-readings.ts";
import type { ReadingPort } from "../../../collector/store/reading-port.ts";
import type { StoredSample, TrendColumn } from "../../../collector/store/sample-store.ts";

const series = "PR-01/pressure";
const range = { series, fromMs: 0, toMs: 2_000 };
/** All before this was let go here. */
const borderMs = 1_000;
const late: StoredSample = { series, tMs: 7, value: 77, quality: "good", late: true };

function column(n: number, numbers: Partial<TrendColumn> = {}): TrendColumn {
  return { fromMs: 0, toMs: 1_000, n, valued: n, min: 1, max: 2, mean: 1.5, ...numbers };
}

/** Five readings there, to which the late one comes with the question that `arrivesWith` counts. */
function joined(arrivesWith: number): ReadingPort {
  let asked = 0;
  const arrived = (): boolean => {
    asked += 1;
    return asked >= arrivesWith;
  };
  return joinedReadings(
    { keptFrom: () => borderMs, read: () => [late], trend: () => [] },
    {
      read: () => Promise.resolve(arrived() ? [late] : []),
      trend: () => Promise.resolve([arrived() ? column(6, { max: 77 }) : column(5)]),
    },
  );
}

test.each([1, 2, 3, 4, 5, 99])(
  "a late reading on its way there is drawn once, whichever question it comes with (%i)",
  async (at) => {
    const [only, ...more] = await joined(at).trend(range, 2);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ n: 6, valued: 6, max: 77 });
  },
);

test("columns whose sum no double holds keep their extremes when they are put together", async () => {
  const most = Number.MAX_VALUE;
  const port = joinedReadings(
    { keptFrom: () => borderMs, read: () => [], trend: () => [column(2, { min: -most, max: most, mean: null })] },
    {
      read: () => Promise.resolve([]),
      trend: () => Promise.resolve([column(3), column(1, { valued: 0, min: null, max: null, mean: null })]),
    },
  );
  expect(await port.trend(range, 2)).toEqual([column(6, { valued: 5, min: -most, max: most, mean: null })]);
});
