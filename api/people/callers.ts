import { timingSafeEqual } from "node:crypto";
import type { IncomingMessage } from "node:http";
import type { MessageBook } from "../../collector/store/message-book.ts";
import type { AccessKey, Account, PeopleBook, Session } from "../../collector/store/people-book.ts";
import type { Role } from "../../spc/model/role.ts";
import { type Right, rightsOf } from "../contract/access.ts";
import { cookieOf } from "./cookies.ts";
import { deviceWords } from "./device-words.ts";
import { type Person, personOf } from "./people.ts";
import { tokenHash } from "./secrets.ts";
import type { Sessions } from "./sessions.ts";

/** Who asks, and what they may. */
export interface Caller {
  readonly kind: "nobody" | "person" | "terminal" | "display" | "program" | "phone";
  /** Of a terminal: who signed it in. */
  readonly person: Person | null;
  readonly rights: readonly Right[];
  readonly session: Session | null;
  readonly key: AccessKey | null;
  readonly device: string;
  /** It brought something that is no longer, or never was, worth anything. */
  readonly stale: boolean;
}

export interface CallerParts {
  readonly people: PeopleBook;
  readonly sessions: Sessions;
  readonly devices: Pick<MessageBook, "device">;
  /** What the signed-out may. */
  readonly open: readonly Right[];
}

/** On a terminal anybody may look, and where an engineer signed it in try limits; whoever decides says who they are. */
export function sessionRights(role: Role, shared: boolean): readonly Right[] {
  return shared ? both(["read", "try-limits"], rightsOf[role]) : rightsOf[role];
}

/** What a phone needs that has only the secret of its subscription. */
const phoneRights: readonly Right[] = ["read", "handle-flags", "own-phone"];

export function identify(parts: CallerParts): (request: IncomingMessage, nowMs: number) => Caller {
  const { people, sessions, devices, open } = parts;
  return (request, nowMs) => {
    const device = deviceWords(request);
    const nobody = (stale: boolean): Caller => ({
      ...{ kind: "nobody", person: null, rights: open, session: null, key: null, device, stale },
    });
    const of = (account: Account, kind: Caller["kind"], rights: readonly Right[], session: Session | null): Caller => ({
      ...{ kind, rights, session, device, key: null, stale: false, person: personOf(account) },
    });
    const { authorization } = request.headers;
    if (authorization !== undefined) {
      const [scheme = "", value = ""] = authorization.split(" ");
      if (scheme.toLowerCase() === "bearer") return byKey(value, "token", nowMs, device) ?? nobody(true);
      if (scheme.toLowerCase() === "device") {
        const account = deviceAccount(value);
        return account === null ? nobody(true) : of(account, "phone", both(phoneRights, rightsOf[account.role]), null);
      }
      return nobody(true);
    }
    const token = cookieOf("session", request);
    const found = token === null ? undefined : sessions.find(token, nowMs);
    if (found !== undefined) {
      const { account, session } = found;
      return of(account, session.shared ? "terminal" : "person", sessionRights(account.role, session.shared), session);
    }
    const display = cookieOf("display", request);
    const key = display === null ? null : byKey(display, "display", nowMs, device);
    return key ?? nobody(token !== null || display !== null);
  };

  function byKey(token: string, kind: AccessKey["kind"], nowMs: number, device: string): Caller | null {
    const key = people.key(tokenHash(token));
    if (key === undefined || key.kind !== kind || key.goneMs !== null) return null;
    if (nowMs - (key.usedMs ?? 0) >= 3_600_000) people.keyUsed(key.id, nowMs);
    const rights = kind === "display" ? (["read"] as const) : (key.scopes as readonly Right[]);
    return {
      ...{ kind: kind === "display" ? "display" : "program", person: null, rights, session: null, key, device },
      stale: false,
    };
  }

  /** `Device ID.SECRET`: whose phone it is, while it is subscribed and its person has an account. */
  function deviceAccount(value: string): Account | null {
    const at = value.indexOf(".");
    const device = at < 0 ? undefined : devices.device(value.slice(0, at));
    if (device === undefined || device.address === null || !same(value.slice(at + 1), device.secret)) return null;
    const account = people.account(device.person);
    return account === undefined || account.offMs !== null ? null : account;
  }
}

function both(some: readonly Right[], others: readonly Right[]): readonly Right[] {
  return some.filter((right) => others.includes(right));
}

/** In the same time, whatever differs. */
function same(one: string, other: string): boolean {
  const [a, b] = [Buffer.from(one), Buffer.from(other)];
  return a.length === b.length && timingSafeEqual(a, b);
}
