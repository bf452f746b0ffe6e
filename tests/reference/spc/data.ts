import { readFileSync } from "node:fs";

/** Reads reference values; where they come from stands in the README beside them. */
export function referenceData<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`../data/spc/${name}.json`, import.meta.url), "utf8")) as T;
}

/** Largest difference that still counts as equal, relative to the expected value, or absolute near zero. */
export function relativeError(actual: number, expected: number): number {
  return Math.abs(actual - expected) / Math.max(Math.abs(expected), Number.MIN_VALUE);
}
