import { expect, test } from "vitest";
import type { Series } from "../../../collector/store/influx/influx-query.ts";
import { influxReadings } from "../../../collector/store/influx/influx-readings.ts";

function asked(answers: readonly (readonly Series[])[] = []) {
  const statements: string[] = [];
  const far = influxReadings(
    {
      ask: (statement) => {
        statements.push(statement);
        return Promise.resolve(answers[statements.length - 1] ?? []);
      },
    },
    "o'strim",
  );
  return { statements, far };
}

test("every question has both bounds, and names in quotes", async () => {
  const { statements, far } = asked();
  const range = { series: "PR-01/pressure", fromMs: Number.MIN_SAFE_INTEGER, toMs: 2_000 };
  await far.read(range);
  await far.read(range, { includeLate: true, limit: 5 });
  await far.trend({ ...range, fromMs: 1_000 }, 4);
  await far.counts(0, 1_000);
  await far.runCounts(0, 1_000);
  for (const statement of statements) expect(statement).toMatch(/time >= -?\d+ms AND time < \d+ms/);
  expect(statements[0]).toContain(`"site" = 'o\\'strim' AND "series" = 'PR-01/pressure' AND time >= -9223372036854ms`);
  expect(statements[0]).toContain('"mark" < 4');
  expect(statements[1]).toMatch(/^((?!"mark" <).)*LIMIT 5$/);
  expect(statements[3]).toContain('GROUP BY "series"');
});

// Buckets are epoch-aligned there: without the offset columns would begin elsewhere than ours.
test("columns begin where ours begin", async () => {
  const { statements, far } = asked();
  await far.trend({ series: "a/b", fromMs: 1_700_000_000_123, toMs: 1_700_000_100_123 }, 10);
  await far.trend({ series: "a/b", fromMs: -7, toMs: 93 }, 10);
  expect(statements[0]).toContain(`GROUP BY time(10000ms, ${1_700_000_000_123 % 10_000}ms) fill(none)`);
  expect(statements[1]).toContain("GROUP BY time(10ms, 3ms) fill(none)");
});

test("long answers are asked for page by page, from the reading after the last", async () => {
  const columns = ["time", "mark", "value", "attributes"];
  const rows = (from: number, count: number): Series => ({
    tags: {},
    columns,
    rows: Array.from({ length: count }, (_, i) => [from + i, 0, 1, null]),
  });
  const { statements, far } = asked([[rows(0, 10_000)], [rows(10_000, 3)]]);
  expect(await far.read({ series: "a/b", fromMs: 0, toMs: 50_000 })).toHaveLength(10_003);
  expect(statements[1]).toContain("time >= 10000ms AND time < 50000ms");
});
