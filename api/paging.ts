import { Problem } from "./problem.ts";

/** Cursors are opaque to whoever asks; inside they are a few fields. */
export function cursor(...fields: readonly (string | number)[]): string {
  return Buffer.from(JSON.stringify(fields)).toString("base64url");
}

/** The fields of a cursor we handed out, or a 400 when it is none of ours. */
export function cursorFields<T>(text: string, accepts: (fields: unknown[]) => T | undefined): T {
  const fields = decoded(text);
  const known = Array.isArray(fields) ? accepts(fields) : undefined;
  if (known !== undefined) return known;
  const errors = [{ place: "query/after", found: text, expected: "the text that stood in `next` of the page before" }];
  throw new Problem(400, "bad-cursor", "`after` is not a cursor of this list", { errors });
}

/** Cursor of one whole number. */
export function cursorNumber(text: string): number {
  return cursorFields(text, ([n, ...rest]) => (rest.length === 0 && isWhole(n) ? n : undefined));
}

export function isWhole(value: unknown): value is number {
  return typeof value === "number" && Number.isSafeInteger(value);
}

/** One page of `found`, which holds one more than `limit` when there is a next page. */
export function page<T>(found: readonly T[], limit: number, next: (last: T) => string): Page<T> {
  const items = found.slice(0, limit);
  return { items, next: found.length > limit ? next(items.at(-1) as T) : null };
}

export interface Page<T> {
  readonly items: T[];
  readonly next: string | null;
}

function decoded(text: string): unknown {
  try {
    return JSON.parse(Buffer.from(text, "base64url").toString("utf8"));
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}
