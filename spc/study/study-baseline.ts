import type { Span } from "../model/grouped.ts";
import type { StudyData, StudyRequest } from "./request.ts";

/**
 * How many places a study plots, before any of them are put together into batches.
 *
 * @source  definition
 */
export function placesOf(data: StudyData): number {
  if (data.kind === "values") return data.values.starts.length - 1;
  if (data.kind === "counts") return data.counted.counts.length;
  return data.vectors.starts.length - 1;
}

/** The places that limits rest on: those asked for, else all. */
export function baselineOfStudy({ data, baseline }: StudyRequest): Span {
  return baseline ?? { from: 0, to: placesOf(data) };
}
