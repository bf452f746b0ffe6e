import type { IncomingMessage } from "node:http";
import type { ChangeRecord } from "../../collector/store/change-record.ts";
import type { MessageBook } from "../../collector/store/message-book.ts";
import type { PeopleBook } from "../../collector/store/people-book.ts";
import type { Right } from "../contract/access.ts";
import { knowsHost } from "../hosts.ts";
import { type Caller, identify } from "./callers.ts";
import { hasAdministrator } from "./links.ts";
import { type Sessions, sessions } from "./sessions.ts";

/** Who may come in, as routes and the live stream need it. */
export interface Access {
  readonly people: PeopleBook;
  readonly record: ChangeRecord;
  readonly sessions: Sessions;
  /** What the signed-out may. */
  readonly open: readonly Right[];
  identify(request: IncomingMessage, nowMs: number): Caller;
  /** Whether a request names us. */
  knowsHost(request: IncomingMessage): boolean;
  /** Whether what somebody was let in with some time ago would let them in now. */
  holds(caller: Caller, nowMs: number): boolean;
  /** Whether there is somebody to manage accounts. */
  ready(): boolean;
  /** What a person or key was let in with has ended: whoever holds a connection looks again. */
  ended(id: string): void;
  onEnded(listener: (id: string) => void): void;
  readonly report: (level: "info" | "warn", about: object, words: string) => void;
}

export interface AccessParts {
  readonly people: PeopleBook;
  readonly record: ChangeRecord;
  readonly devices: Pick<MessageBook, "device">;
  /** Names beside this host's own. */
  readonly hosts: readonly string[];
  readonly openReading: boolean;
  readonly openSending: boolean;
  readonly report: Access["report"];
}

export function openAccess(parts: AccessParts): Access {
  const { people, record, devices, openReading, openSending, report } = parts;
  const open: Right[] = [];
  if (openReading) open.push("read");
  if (openSending) open.push("hand-in-readings");
  const found = sessions(people);
  const listeners: ((id: string) => void)[] = [];
  return {
    ...{ people, record, open, report, sessions: found },
    knowsHost: knowsHost(parts.hosts),
    identify: identify({ people, sessions: found, devices, open }),
    holds: ({ kind, session, key, person }, nowMs) => {
      if (session !== null) return found.holds(session, nowMs);
      if (key !== null) return people.key(key.hash)?.goneMs === null;
      if (kind === "phone") return people.account(person?.id ?? "")?.offMs === null;
      return openReading;
    },
    ready: () => hasAdministrator(people),
    ended: (id) => {
      for (const listener of listeners) listener(id);
    },
    onEnded: (listener) => void listeners.push(listener),
  };
}
