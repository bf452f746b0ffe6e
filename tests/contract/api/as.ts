/** What the tests' own sessions are found by: the running api has one for each person of its settings. */
export function tokenOf(account: string): string {
  return `token-of-${account}`;
}

/** Headers of a browser that somebody is signed in at. */
export function as(account: string): Readonly<Record<string, string>> {
  return { cookie: `steadypour=${tokenOf(account)}` };
}

/** A terminal that a process engineer signed in for the shift: whoever decides gives a PIN. */
export const terminal = "-the-shared-terminal";
