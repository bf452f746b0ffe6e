import { createHmac, randomBytes } from "node:crypto";
import { verify } from "@node-rs/argon2";
import type { DoorsSettings } from "../platform/settings/doors-schema.ts";

type User = DoorsSettings["mqtt"][number];

/** Who may connect to our own broker, and what each may send and hear. */
export interface BrokerUsers {
  /** Whether that is a user with that password, or a stranger where strangers are let in. */
  admits(user: string | undefined, password: Uint8Array | undefined): Promise<boolean>;
  maySend(user: string | null, topic: string): boolean;
  mayHear(user: string | null, filter: string): boolean;
}

/** One check takes 19 MiB and a core for a moment: more at once wait. */
const AT_ONCE = 2;

export function brokerUsers(users: readonly User[], open: boolean): BrokerUsers {
  const byName = new Map(users.map((one) => [one.user, one]));
  // A gateway that comes back after each hiccup is known by what it said before; the key is of this process alone.
  const key = randomBytes(32);
  const known = new Map<string, string>();
  const mark = (user: User, password: Uint8Array): string =>
    createHmac("sha256", key).update(user.password).update("\0").update(password).digest("hex");
  let line: Promise<unknown>[] = [];
  return {
    admits: async (name, password) => {
      if (name === undefined || name === "") return open;
      const user = byName.get(name);
      if (user === undefined || password === undefined) return false;
      const given = mark(user, password);
      if (known.get(name) === given) return true;
      while (line.length >= AT_ONCE) await Promise.race(line);
      const check = verify(user.password, password);
      const settled = check.catch(() => false);
      line.push(settled);
      const right = await settled;
      line = line.filter((one) => one !== settled);
      if (right) known.set(name, given);
      return right;
    },
    maySend: (name, topic) =>
      name === null ? open : (byName.get(name)?.publish.some((filter) => matches(filter, topic)) ?? false),
    mayHear: (name, filter) =>
      name === null ? open : (byName.get(name)?.subscribe.some((own) => covers(own, filter)) ?? false),
  };
}

/** MQTT 3.1.1, 4.7: `+` stands for one level, `#` for all that is left; neither for what begins with `$`. */
export function matches(filter: string, topic: string): boolean {
  if (topic.startsWith("$")) return false;
  const [wanted, given] = [filter.split("/"), topic.split("/")];
  for (const [at, level] of wanted.entries()) {
    if (level === "#") return true;
    if (at >= given.length || (level !== "+" && level !== given[at])) return false;
  }
  return wanted.length === given.length;
}

/** Whether all that one filter hears lies within what another one may. */
function covers(own: string, asked: string): boolean {
  if (asked.startsWith("$")) return false;
  const [wide, narrow] = [own.split("/"), asked.split("/")];
  for (const [at, level] of wide.entries()) {
    if (level === "#") return true;
    const other = narrow[at];
    if (other === undefined || other === "#" || (level !== "+" && level !== other)) return false;
  }
  return wide.length === narrow.length;
}
