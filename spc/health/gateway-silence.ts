/** What falls silent with a gateway, and what by itself. */
export type SilenceCause<T> =
  | { readonly kind: "none" }
  /** The whole source is quiet, and its slowest instrument is not overdue yet: wait rather than name them one by one. */
  | { readonly kind: "wait" }
  | { readonly kind: "gateway"; readonly silent: readonly T[] }
  | { readonly kind: "instruments"; readonly silent: readonly T[] };

export interface SourceLook<T> {
  /** Instruments of the source that promised readings and have spoken before. */
  readonly spoke: readonly T[];
  isSilent(one: T): boolean;
  /** Nothing at all came from the source for half of the least silence. */
  readonly sourceQuiet: boolean;
}

/**
 * Whose silence it is: a gateway that is gone takes all its instruments with it, and is one fault and not one for each.
 *
 * @unit    none
 * @method  a source with two instruments or more, all silent and nothing else from it: the gateway; else each by itself
 * @cost    O(n)
 * @source  derived here
 * @checked tests/unit/spc/health/gateway-silence.test.ts
 */
export function silenceCause<T>({ spoke, isSilent, sourceQuiet }: SourceLook<T>): SilenceCause<T> {
  const silent = spoke.filter(isSilent);
  if (silent.length === 0) return { kind: "none" };
  if (!sourceQuiet || spoke.length <= 1) return { kind: "instruments", silent };
  return silent.length < spoke.length ? { kind: "wait" } : { kind: "gateway", silent };
}
