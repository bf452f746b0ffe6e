type Path = readonly (string | number)[];

/** Where everything in a JSON value lies, the value itself included. */
export function pathsOf(value: unknown, path: Path = []): readonly Path[] {
  if (typeof value !== "object" || value === null) return [path];
  return [path, ...Object.entries(value).flatMap(([key, inner]) => pathsOf(inner, [...path, key]))];
}

/** The value with what lies at the path replaced; a path that an earlier change has cut off changes nothing. */
export function replaced(value: unknown, [key, ...rest]: Path, by: unknown): unknown {
  if (key === undefined) return by;
  if (Array.isArray(value)) return value.map((one, i) => (String(i) === String(key) ? replaced(one, rest, by) : one));
  if (typeof value !== "object" || value === null) return value;
  return { ...value, [key]: replaced((value as Record<string, unknown>)[key], rest, by) };
}
