import type { Role } from "../../spc/model/role.ts";

/** Somebody who may sign in, or sign at a shared terminal. Settings seed accounts; from then on they live here. */
export interface Account {
  readonly id: string;
  /** As it stands beside decisions; no two are called the same. */
  readonly name: string;
  readonly role: Role;
  /** argon2id; null until the person has chosen one. */
  readonly password: string | null;
  readonly pin: string | null;
  /** Stages of the process and stations that the person answers for, as the settings name them; none: the whole plant. */
  readonly areas: readonly string[];
  readonly madeMs: number;
  /** Since when it is closed; null while it is open. */
  readonly offMs: number | null;
}

/** A browser that somebody signed in at. Of its token only the hash is kept. */
export interface Session {
  readonly hash: string;
  /** Hash of the token before, which is still taken for a moment while the new one is on its way. */
  readonly former: string | null;
  readonly account: string;
  /** A terminal of a shift: it shows, and each decision names its person by PIN. */
  readonly shared: boolean;
  readonly device: string;
  readonly madeMs: number;
  readonly turnedMs: number;
  readonly seenMs: number;
  readonly untilMs: number;
}

/** A link that lets somebody choose a password, once. */
export interface OneTimeLink {
  readonly hash: string;
  /** Null: whoever opens it becomes the first administrator. */
  readonly account: string | null;
  readonly untilMs: number;
  readonly usedMs: number | null;
}

/** A key that no person holds: of a wall's display, or of a program. */
export interface AccessKey {
  readonly id: string;
  readonly hash: string;
  readonly kind: "display" | "token";
  readonly name: string;
  /** What a display shows; null of a program's. */
  readonly page: string | null;
  readonly scopes: readonly string[];
  readonly madeMs: number;
  readonly usedMs: number | null;
  readonly goneMs: number | null;
}

/** Who may come in. It changes, so it stands beside the journal; what changed stands in the Change Record. */
export interface PeopleBook {
  accounts(): readonly Account[];
  account(id: string): Account | undefined;
  putAccount(account: Account): void;

  addSession(session: Session): void;
  /** By the hash of its token, or of the one before. */
  session(hash: string): Session | undefined;
  sessionsOf(account: string): readonly Session[];
  seen(hash: string, nowMs: number): void;
  /** Gives a session a new token. False when another request was first. */
  turn(hash: string, next: string, nowMs: number): boolean;
  endSession(hash: string): void;
  /** Ends all of an account's; returns how many there were. */
  endSessions(account: string): number;
  forgetSessions(untilMs: number, idle: { readonly personal: number; readonly shared: number }): void;

  /** Replaces what was open for the same account. */
  addLink(link: Omit<OneTimeLink, "usedMs">): void;
  /** The link of that hash while it is open. */
  link(hash: string, nowMs: number): OneTimeLink | undefined;
  /** The link of that hash, used from now on; undefined when it is none, was used, or ran out. */
  useLink(hash: string, nowMs: number): OneTimeLink | undefined;

  addKey(key: AccessKey): void;
  keys(): readonly AccessKey[];
  key(hash: string): AccessKey | undefined;
  keyUsed(id: string, nowMs: number): void;
  /** False when there is no such key, or it was revoked already. */
  revokeKey(id: string, nowMs: number): boolean;
}
