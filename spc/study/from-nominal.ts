import { deviationsFrom } from "../drawn/nominal.ts";
import type { Column } from "../model/column.ts";
import type { StudyData } from "./request.ts";

/**
 * What a study looks at beside its charts: values of several parts as they lie from their nominal values, for raw ones
 * would tell of the order of the parts and not of the process; all else as it was read.
 *
 * @source  derived here
 */
export function lookedAt(data: StudyData): StudyData {
  if (data.kind !== "values" || data.nominal === null) return data;
  return { ...data, values: deviationsFrom(data.values, nominalList(data.nominal)) };
}

/**
 * Nominal values as a list, one a place.
 *
 * @source  definition
 */
export function nominalList({ raw, length }: Column): ArrayLike<number> {
  return typeof raw === "number" ? new Float64Array(length).fill(raw) : raw;
}
