import type { PeopleBook } from "../../collector/store/people-book.ts";
import { newToken, tokenHash } from "./secrets.ts";

const PERSON_MS = 3 * 86_400_000;
const FIRST_MS = 86_400_000;

/** The page of a one-time link; the token stands behind the `#`, which no browser sends, logs or passes on. */
export function makeLink(
  book: Pick<PeopleBook, "addLink">,
  account: string | null,
  nowMs: number,
): { readonly path: string; readonly untilMs: number } {
  const token = newToken();
  const untilMs = nowMs + (account === null ? FIRST_MS : PERSON_MS);
  book.addLink({ hash: tokenHash(token), account, untilMs });
  return { path: `/welcome#${account === null ? "first." : ""}${token}`, untilMs };
}

/** Whether somebody can manage accounts; until then each start offers the link of the first administrator. */
export function hasAdministrator(book: Pick<PeopleBook, "accounts">): boolean {
  return book
    .accounts()
    .some(({ role, offMs, password }) => role === "administrator" && offMs === null && password !== null);
}
