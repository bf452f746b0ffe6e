/** Reads what a JSON pointer (RFC 6901) points at: `undefined` where nothing stands. The pointer has been checked. */
export function pointerReader(pointer: string): (from: unknown) => unknown {
  const keys = pointer
    .split("/")
    .slice(1)
    .map((key) => key.replaceAll("~1", "/").replaceAll("~0", "~"));
  return (from) => {
    let at: unknown = from;
    for (const key of keys) {
      if (Array.isArray(at)) at = isPlace(key) ? at[Number(key)] : undefined;
      else if (typeof at === "object" && at !== null && Object.hasOwn(at, key))
        at = (at as Record<string, unknown>)[key];
      else return undefined;
    }
    return at;
  };
}

/** A place in a list is written without leading zeros (RFC 6901, 4). */
function isPlace(key: string): boolean {
  return /^(0|[1-9]\d{0,8})$/.test(key);
}

/** A key as it stands in a JSON pointer. */
export function pointerPart(key: string): string {
  return key.replaceAll("~", "~0").replaceAll("/", "~1");
}
