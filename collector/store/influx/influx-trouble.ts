/**
 * Why InfluxDB did not do what it was asked. `away`: it does not answer, or says that it cannot now. `configuration`:
 * it answers and will not have us so. `refused`: it does not take these lines. Only the last one says anything of them.
 */
export type TroubleKind = "away" | "configuration" | "refused";

export class InfluxTrouble extends Error {
  override readonly name = "InfluxTrouble";
  readonly kind: TroubleKind;
  readonly code: InfluxCode;
  /** By its word, in milliseconds, 0 where it said nothing. */
  readonly retryAfterMs: number;
  /** Lines at fault, counted from 1, where it lists them; all others are stored. */
  readonly listed: readonly { readonly line: number; readonly words: string }[];
  /** How many lines it says it dropped; null where it does not say. */
  readonly dropped: number | null;

  constructor(
    kind: TroubleKind,
    code: InfluxCode,
    message: string,
    more: Partial<Pick<InfluxTrouble, "retryAfterMs" | "listed" | "dropped">> = {},
  ) {
    super(message);
    this.kind = kind;
    this.code = code;
    this.retryAfterMs = more.retryAfterMs ?? 0;
    this.listed = more.listed ?? [];
    this.dropped = more.dropped ?? null;
  }
}

export type InfluxCode =
  | "influx-away"
  | "influx-busy"
  | "influx-refuses-us"
  | "influx-no-database"
  | "influx-wrong-version"
  | "influx-unreadable"
  | "influx-refuses-all"
  | "influx-line-refused"
  | "influx-beyond-retention"
  | "influx-access-unusable";

/** What an answer other than 2xx means. */
export function troubleOf(status: number, said: string, retryAfterMs: number, where: string): InfluxTrouble {
  const words = said.replaceAll(/\s+/g, " ").trim().slice(0, 300) || `status ${status}`;
  if (
    /database not found|bucket .*not found|could not find (?:database|bucket)|retention policy not found/i.test(said)
  ) {
    return new InfluxTrouble(
      "configuration",
      "influx-no-database",
      `${where} has no such database or bucket: ${words}`,
    );
  }
  if (status === 401 || status === 403) {
    const code = "influx-refuses-us";
    return new InfluxTrouble(
      "configuration",
      code,
      `${where} does not let us in, look at user, password or token: ${words}`,
    );
  }
  if (status === 404 || status === 405) {
    const code = "influx-wrong-version";
    return new InfluxTrouble(
      "configuration",
      code,
      `${where} does not know that address, look at url and version: ${words}`,
    );
  }
  if (status === 400 || status === 413 || status === 422) {
    const dropped = /dropped=(\d+)/.exec(said)?.[1];
    const code = /beyond retention policy/.test(said) ? "influx-beyond-retention" : "influx-line-refused";
    const more = { listed: listedLines(said), dropped: dropped === undefined ? null : Number(dropped) };
    return new InfluxTrouble("refused", code, words, more);
  }
  const code = status === 429 || status === 503 ? "influx-busy" : "influx-away";
  return new InfluxTrouble("away", code, `${where} answers ${status}: ${words}`, { retryAfterMs });
}

/** Version 3 stores the good lines and lists the others, each with its number. */
function listedLines(said: string): InfluxTrouble["listed"] {
  let body: unknown;
  try {
    body = JSON.parse(said);
  } catch {
    // Versions 1 and 2 answer in other words, and then nothing is listed.
    return [];
  }
  const list = (body as { readonly data?: unknown } | null)?.data;
  if (!Array.isArray(list)) return [];
  return list.flatMap((one: { readonly line_number?: unknown; readonly error_message?: unknown } | null) => {
    const line = one?.line_number;
    return typeof line === "number" ? [{ line, words: String(one?.error_message ?? "refused") }] : [];
  });
}

/** `Retry-After` in milliseconds: whole seconds, or a date; 0 for anything else. */
export function retryAfterMs(header: string | null | undefined, nowMs: number): number {
  if (header === null || header === undefined) return 0;
  if (/^\s*\d+\s*$/.test(header)) return Math.max(Number(header) * 1000, 1000);
  const until = Date.parse(header);
  return Number.isNaN(until) ? 0 : Math.max(until - nowMs, 1000);
}
