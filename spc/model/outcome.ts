/** A result, or a refusal that says what is lacking. Refusals are data; they are never thrown. */
export type Outcome<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly refusal: Refusal };

export interface Refusal {
  /** Kebab-case, stable, listed in DEVELOPERS.md. */
  readonly code: string;
  /** A plain sentence without a full stop. */
  readonly detail: string;
  readonly needs?: number;
  readonly has?: number;
}

export function ok<T>(value: T): Outcome<T> {
  return { ok: true, value };
}

export function refuse(
  code: string,
  detail: string,
  counts: { readonly needs?: number; readonly has?: number } = {},
): {
  readonly ok: false;
  readonly refusal: Refusal;
} {
  return { ok: false, refusal: { code, detail, ...counts } };
}
