import type { FloorCell, FloorPlan } from "./floor-plan.ts";

/** Where a stage's name stands in the grid, counted from 1, and how many columns its stations take. */
export interface StagePlace {
  readonly stage: string;
  readonly column: number;
  readonly span: number;
  readonly row: number;
  readonly cells: readonly { readonly cell: FloorCell; readonly column: number; readonly row: number }[];
}

export interface FloorLayout {
  readonly columns: number;
  /** Rows of stations, of all bands. */
  readonly rows: number;
  /** Bands one below the other; the plant goes on in the next where it does not fit beside. */
  readonly bands: number;
  readonly stages: readonly StagePlace[];
}

/** Stations below one another, where stages go on in further bands: more stand side by side. */
const TALL = 4;

/** Stages from left to right, in as many bands as the width asks for; places follow from the plan and the width alone. */
export function floorLayout(plan: FloorPlan, most: number): FloorLayout {
  const wide = Math.max(1, most);
  const single = plan.stages.length <= wide;
  const groups = plan.stages.map((stage, at) => {
    const cells = plan.cells.filter((cell) => cell.column === at);
    return { stage, cells, span: single ? 1 : Math.min(wide, Math.max(1, Math.ceil(cells.length / TALL))) };
  });
  const total = groups.reduce((sum, { span }) => sum + span, 0);
  // Bands of about the same length: two of eleven rather than one of twelve and one of ten.
  const even = single ? wide : Math.ceil(total / Math.ceil(total / wide));
  const stages: StagePlace[] = [];
  let [column, row, tall, rows, bands, columns] = [1, 1, 0, 0, 1, 1];
  for (const { stage, cells, span } of groups) {
    if (column > 1 && column + span - 1 > Math.max(even, span)) {
      row += tall + 1;
      rows += tall;
      bands += 1;
      [column, tall] = [1, 0];
    }
    const each = Math.max(1, Math.ceil(cells.length / span));
    stages.push({
      ...{ stage, column, span, row },
      cells: cells.map((cell, at) => ({
        cell,
        column: column + Math.floor(at / each),
        row: row + 1 + (at % each),
      })),
    });
    column += span;
    columns = Math.max(columns, column - 1);
    tall = Math.max(tall, Math.min(each, cells.length));
  }
  return { columns: single ? Math.max(1, plan.stages.length) : columns, rows: rows + tall, bands, stages };
}
