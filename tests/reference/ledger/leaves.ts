/** Path of a value inside a record: `published.0.value`. */
export type Path = string;

const WRITTEN_NUMBER = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i;

/** The number that a value is or, in CSV and in certified values, that it is written as; null for anything else. */
export function numberIn(value: unknown): number | null {
  if (typeof value === "number") return value;
  return typeof value === "string" && WRITTEN_NUMBER.test(value) ? Number(value) : null;
}

/** Every number of a record with its path. */
export function leaves(value: unknown, at: Path = ""): readonly { readonly path: Path; readonly value: number }[] {
  const number = numberIn(value);
  if (number !== null) return [{ path: at, value: number }];
  if (value === null || typeof value !== "object") return [];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, at === "" ? key : `${at}.${key}`));
}

/** What stands at a path. */
export function valueAt(record: unknown, path: Path): unknown {
  if (path === "") return record;
  // A column's name may itself hold a dot: `min_batch_r1_le_0.10`.
  if (record !== null && typeof record === "object" && Object.hasOwn(record, path))
    return (record as Record<string, unknown>)[path];
  return path.split(".").reduce<unknown>((value, key) => (value as Record<string, unknown> | undefined)?.[key], record);
}

/** Whether a path lies at or under one of the patterns, in which `*` stands for one key. */
export function isUnder(path: Path, patterns: readonly string[]): boolean {
  const keys = path.split(".");
  return patterns.some((pattern) => {
    const wanted = pattern.split(".");
    return wanted.length <= keys.length && wanted.every((key, i) => key === "*" || key === keys[i]);
  });
}
