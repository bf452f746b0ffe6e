import type { Account, PeopleBook, Session } from "../../collector/store/people-book.ts";
import { newToken, tokenHash } from "./secrets.ts";

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
/** A person's ends an hour after they last did something, a terminal's when nobody did anything there for a month. */
export const idleMs = { personal: 60 * MINUTE_MS, shared: 30 * DAY_MS } as const;
/** And whatever is done with it, after a shift with its handover, or a quarter. */
export const longestMs = { personal: 12 * 60 * MINUTE_MS, shared: 90 * DAY_MS } as const;
/** A token that somebody copied serves no longer than this. */
const TURN_MS = 60 * MINUTE_MS;
/** What was on its way with the token before is still taken. */
const FORMER_MS = 30_000;

export interface FoundSession {
  readonly session: Session;
  readonly account: Account;
}

export interface Sessions {
  /** Always a new token: one that a stranger put into the browser before is worth nothing. */
  open(account: Account, how: { readonly shared: boolean; readonly device: string }, nowMs: number): string;
  find(token: string, nowMs: number): FoundSession | undefined;
  /** Whether a session that was found some time ago goes on, under whatever token. */
  holds(session: Session, nowMs: number): boolean;
  /** Somebody did something with it. */
  used(session: Session, nowMs: number): void;
  /** A new token in place of the one that was found, when it is time. */
  turned(session: Session, nowMs: number): string | null;
  end(session: Session): void;
  endAll(account: string): number;
}

export function sessions(book: PeopleBook): Sessions {
  const still = ({ shared, seenMs, untilMs }: Session, nowMs: number): boolean =>
    nowMs < untilMs && nowMs - seenMs < (shared ? idleMs.shared : idleMs.personal);
  return {
    open: (account, { shared, device }, nowMs) => {
      book.forgetSessions(nowMs, { personal: nowMs - idleMs.personal, shared: nowMs - idleMs.shared });
      const token = newToken();
      book.addSession({
        ...{ hash: tokenHash(token), former: null, account: account.id, shared, device },
        ...{ madeMs: nowMs, turnedMs: nowMs, seenMs: nowMs },
        untilMs: nowMs + (shared ? longestMs.shared : longestMs.personal),
      });
      return token;
    },
    find: (token, nowMs) => {
      const hash = tokenHash(token);
      const session = book.session(hash);
      if (session === undefined || !still(session, nowMs)) return undefined;
      if (session.hash !== hash && nowMs - session.turnedMs >= FORMER_MS) return undefined;
      const account = book.account(session.account);
      return account === undefined || account.offMs !== null ? undefined : { session, account };
    },
    holds: ({ account, madeMs }, nowMs) =>
      book.account(account)?.offMs === null &&
      book.sessionsOf(account).some((one) => one.madeMs === madeMs && still(one, nowMs)),
    used: (session, nowMs) => {
      // Not at each press: once a minute tells as much.
      if (nowMs - session.seenMs >= MINUTE_MS) book.seen(session.hash, nowMs);
    },
    turned: (session, nowMs) => {
      if (nowMs - session.turnedMs < TURN_MS) return null;
      const token = newToken();
      return book.turn(session.hash, tokenHash(token), nowMs) ? token : null;
    },
    end: (session) => book.endSession(session.hash),
    endAll: (account) => book.endSessions(account),
  };
}

/** When a session ends if nothing is done any more. */
export function endsMs({ shared, seenMs, untilMs }: Session): number {
  return Math.min(untilMs, seenMs + (shared ? idleMs.shared : idleMs.personal));
}
