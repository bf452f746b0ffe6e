import { expect, test } from "vitest";
import { floorLayout } from "../../../../dashboard/model/floor-layout.ts";
import type { FloorCell, FloorPlan } from "../../../../dashboard/model/floor-plan.ts";

/** A plan of so many stations in each stage, called A1, A2, B1 ... */
function plan(...counts: readonly number[]): FloorPlan {
  const stages = counts.map((_, at) => String.fromCharCode(65 + at));
  const cells = counts.flatMap((count, column) =>
    Array.from(
      { length: count },
      (_, row) => ({ station: { id: `${stages[column]}${row + 1}` }, column, row }) as FloorCell,
    ),
  );
  return { stages, rows: Math.max(...counts), cells };
}

const placesOf = (one: FloorPlan, most: number) =>
  floorLayout(one, most).stages.map(({ stage, column, span, row, cells }) =>
    [`${stage}@${column}+${span}/${row}`, ...cells.map((c) => `${c.cell.station.id}@${c.column}/${c.row}`)].join(" "),
  );

test("stages that fit stand side by side, however many stations are below them", () => {
  expect(placesOf(plan(2, 6, 1), 3)).toEqual([
    "A@1+1/1 A1@1/2 A2@1/3",
    "B@2+1/1 B1@2/2 B2@2/3 B3@2/4 B4@2/5 B5@2/6 B6@2/7",
    "C@3+1/1 C1@3/2",
  ]);
  expect(floorLayout(plan(2, 6, 1), 9)).toMatchObject({ columns: 3, rows: 6, bands: 1 });
});

test("a plant longer than the window is wide goes on below, and many stations of a stage stand side by side", () => {
  const layout = floorLayout(plan(1, 8, 2, 1), 3);
  expect(layout).toMatchObject({ columns: 3, rows: 6, bands: 2 });
  expect(placesOf(plan(1, 8, 2, 1), 3)).toEqual([
    "A@1+1/1 A1@1/2",
    "B@2+2/1 B1@2/2 B2@2/3 B3@2/4 B4@2/5 B5@3/2 B6@3/3 B7@3/4 B8@3/5",
    "C@1+1/6 C1@1/7 C2@1/8",
    "D@2+1/6 D1@2/7",
  ]);
});

test("no two stations share a place and none stands outside, at any width", () => {
  for (let most = 0; most < 24; most += 1) {
    const { columns, stages } = floorLayout(plan(2, 2, 8, 1, 4, 3, 3, 1, 2, 1, 3, 1, 4, 3, 2, 2, 2, 1, 1, 1), most);
    const places = stages.flatMap(({ cells }) => cells.map(({ column, row }) => `${column}/${row}`));
    expect(new Set(places).size).toBe(places.length);
    for (const { column, span } of stages) expect(column + span - 1).toBeLessThanOrEqual(columns);
  }
});

test("a plan without stages is one empty column", () => {
  expect(floorLayout({ stages: [], rows: 0, cells: [] }, 9)).toMatchObject({ columns: 1, rows: 0, stages: [] });
});
