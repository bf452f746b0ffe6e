import { tokenHash } from "../../../api/people/secrets.ts";
import type { PeopleBook } from "../../../collector/store/people-book.ts";
import { terminal, tokenOf } from "./as.ts";

/** Sessions whose tokens tests know without signing in: one of each account, and one of a shared terminal. */
export function addTestSessions(people: PeopleBook): void {
  const accounts = people.accounts();
  for (const { id } of accounts) add(people, id, tokenOf(id), false);
  const engineer = accounts.find(({ role }) => role === "process-engineer") ?? accounts[0];
  if (engineer !== undefined) add(people, engineer.id, tokenOf(terminal), true);
}

function add(people: PeopleBook, account: string, token: string, shared: boolean): void {
  const hash = tokenHash(token);
  if (people.session(hash) !== undefined) return;
  const nowMs = Date.now();
  const times = { madeMs: nowMs, turnedMs: nowMs, seenMs: nowMs, untilMs: nowMs + 3_600_000 };
  people.addSession({ hash, former: null, account, shared, device: "a test", ...times });
}
