import type { Column } from "../../../../spc/model/column.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";

/** A column as a list. */
export function listed(column: Column): readonly (number | null)[] {
  return Array.from({ length: column.length }, (_, place) => column.at(place));
}

/** The numbers of a column, none left out. */
export function numbers(column: Column): readonly number[] {
  return listed(column).map((value, place) => {
    if (value === null) throw new Error(`place ${place} holds no number`);
    return value;
  });
}

/** Places beyond the limits, counted from 1 as handbooks do. */
export function beyond(chart: DrawnChart): readonly number[] {
  return listed(chart.values).flatMap((_, place) =>
    ["above", "below"].includes(verdictAt(chart, place)) ? [place + 1] : [],
  );
}

/** Every number that a chart gives. */
export function allNumbers(chart: DrawnChart): readonly number[] {
  const { values, centres, sigmas, lower, upper } = chart;
  return [values, centres, sigmas, lower, upper].flatMap((column) =>
    listed(column).flatMap((value) => (value === null ? [] : [value])),
  );
}
