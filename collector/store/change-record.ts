import { createHash } from "node:crypto";

/** Who changed something, and from where. */
export interface Actor {
  readonly id: string;
  readonly name: string;
  readonly role: string;
  /** `Chromium on Linux, 127.0.0.1`, `command on this host` */
  readonly device: string;
}

/** What somebody changed. */
export interface Change {
  /** `flag-taken`, `limits-agreed`, `account-made` */
  readonly kind: string;
  /** Flag, characteristic, account or key that was changed. */
  readonly subject: string;
  /** Plain JSON; null where there was nothing before, or is nothing any more. Never a secret. */
  readonly old: unknown;
  readonly new: unknown;
  readonly reason: string;
  readonly by: Actor;
}

/** `synchronised`: the system says so. `stepped`: it was set by two seconds or more while we ran. */
export type ClockState = "synchronised" | "not-known" | "stepped";

/** One row of the Change Record; its hash covers all of it, and so all rows before. */
export interface ChangeRow extends Change {
  readonly n: number;
  readonly atMs: number;
  readonly clock: ClockState;
  /** Hash of the row before. */
  readonly before: string;
  readonly hash: string;
}

export interface ChangeQuery {
  readonly kinds?: readonly string[];
  readonly person?: string;
  readonly subject?: string;
  readonly fromMs?: number;
  readonly toMs?: number;
  /** Rows about one of these, or by that person. A row is about the station, series or source that its subject begins with. */
  readonly about?: { readonly places: readonly string[]; readonly orBy: string };
  readonly beforeN?: number;
  readonly limit: number;
}

export type Verified =
  | { readonly ok: true; readonly rows: number; readonly head: string }
  /** `n` is the first row that is not as it was written. */
  | { readonly ok: false; readonly n: number; readonly why: string };

/** Append-only: who changed what, when, why, and from where. */
export interface ChangeRecord {
  /** Within the transaction that makes the change, so that neither is kept without the other. */
  append(change: Change): ChangeRow;
  /** Newest first. */
  read(query: ChangeQuery): readonly ChangeRow[];
  head(): { readonly n: number; readonly hash: string };
  /** Whether a row of that hash is in the record. */
  has(hash: string): boolean;
  verify(): Verified;
}

/** What stands before the first row. */
export const noRow: string = "0".repeat(64);

export interface HashedText {
  readonly n: number;
  readonly atMs: number;
  readonly clock: string;
  readonly kind: string;
  readonly subject: string;
  readonly person: string;
  readonly name: string;
  readonly role: string;
  readonly device: string;
  /** JSON, as it is stored. */
  readonly old: string;
  readonly new: string;
  readonly reason: string;
  readonly before: string;
}

/** SHA-256 over the row as a JSON list, in this order. */
export function rowHash(row: HashedText): string {
  const list = [
    ...[row.n, row.atMs, row.clock, row.kind, row.subject, row.person, row.name, row.role, row.device],
    ...[row.old, row.new, row.reason, row.before],
  ];
  return createHash("sha256").update(JSON.stringify(list)).digest("hex");
}
