import type { Role } from "../../spc/model/role.ts";
import type { endpoints } from "./endpoints.ts";
import type { LiveFrame } from "./wire.ts";

/**
 * Who may do what: the one table. Routes, the live stream and the pages all read it, so that what a page offers is what
 * the server lets through. Nothing in it lets anybody change what was measured: there is no such right.
 */
export const rights = {
  read: "see boards, charts, flags and limits",
  "handle-flags": "take a flag, and close it with its cause",
  "write-values": "write values down by hand, and correct them",
  "say-set-up": "say which part, tool or lot is set up at a station",
  recompute: "have runs reckoned anew",
  "try-limits": "try limits, rules and exclusions on stored runs",
  "propose-limits": "propose limits, rules and exclusions",
  "agree-limits": "agree to what somebody else proposed",
  "withdraw-limits": "take a proposal back",
  "own-phone": "have messages sent to their own phone",
  "own-account": "change their own password and PIN",
  "open-terminal": "sign a shared terminal in",
  "read-own-record": "read their own rows of the Change Record",
  "read-process-record":
    "read what the Change Record holds of flags, limits and settings, or of their area alone where they have one",
  "read-record": "read the whole Change Record",
  "manage-people": "manage accounts",
  "manage-keys": "manage display keys and tokens of programs",
  "hand-in-readings": "hand in readings",
} as const;

export type Right = keyof typeof rights;

const everybody: readonly Right[] = ["read", "own-phone", "own-account", "read-own-record"];
const crew: readonly Right[] = [...everybody, "handle-flags", "write-values", "say-set-up"];

export const rightsOf: Readonly<Record<Role, readonly Right[]>> = {
  viewer: everybody,
  "shift-lead": [...crew, "agree-limits", "withdraw-limits", "open-terminal", "read-process-record"],
  inspector: crew,
  maintenance: crew,
  "process-engineer": [
    ...crew,
    ...(["try-limits", "propose-limits", "agree-limits", "withdraw-limits", "recompute", "open-terminal"] as const),
    "read-record",
  ],
  "works-manager": [...crew, "try-limits", "agree-limits", "withdraw-limits", "open-terminal", "read-record"],
  // Runs the house and judges no process: whoever gives out accounts must not be able to bless limits.
  administrator: [...everybody, "open-terminal", "read-record", "manage-people", "manage-keys"],
};

/** As people say it. */
export const roleNames: Readonly<Record<Role, string>> = {
  viewer: "viewer",
  "shift-lead": "shift lead",
  inspector: "inspector",
  maintenance: "maintenance",
  "process-engineer": "process engineer",
  "works-manager": "works manager",
  administrator: "administrator",
};

/** `a process engineer or a works manager` */
export function whoMay(right: Right): string {
  const names = (Object.keys(rightsOf) as Role[])
    .filter((role) => rightsOf[role].includes(right))
    .map((role) => (role === "maintenance" ? "maintenance" : `${/^[aei]/.test(role) ? "an" : "a"} ${roleNames[role]}`));
  return names.length < 2 ? (names[0] ?? "nobody") : `${names.slice(0, -1).join(", ")} or ${names.at(-1)}`;
}

/** What a program's token may be given: never what a person decides. */
export const scopes = ["read", "hand-in-readings"] as const satisfies readonly Right[];
export type Scope = (typeof scopes)[number];

/** What is needed to ask. `anyone`: it tells nothing of the plant, or is how one comes in. */
export type Need = "anyone" | { readonly right: Right; readonly named?: true };

const read: Need = { right: "read" };
/** `named`: on a terminal the PIN in the body says who it is, and that person's right counts. */
const named = (right: Right): Need => ({ right, named: true });

/** By endpoint. An endpoint that is not here does not compile, and is refused. */
export const needs: Readonly<Record<keyof typeof endpoints, Need>> = {
  healthz: "anyone",
  readyz: "anyone",
  metrics: read,
  openapi: read,
  floor: read,
  characteristics: read,
  characteristic: read,
  points: read,
  benchList: read,
  instruments: read,
  bench: read,
  trial: { right: "try-limits" },
  replay: { right: "try-limits" },
  proposals: read,
  proposal: read,
  propose: named("propose-limits"),
  agree: named("agree-limits"),
  withdraw: named("withdraw-limits"),
  limits: read,
  people: read,
  handBook: read,
  written: read,
  writeDown: named("write-values"),
  correctWritten: named("write-values"),
  controlPlan: read,
  recomputations: read,
  recompute: named("recompute"),
  setUpBook: read,
  setUps: read,
  saySetUp: named("say-set-up"),
  correctSetUp: named("say-set-up"),
  flags: read,
  flag: read,
  take: named("handle-flags"),
  done: named("handle-flags"),
  messageSetUp: read,
  messages: read,
  message: read,
  // Phones prove themselves with the secret of their subscription, or the token that came in the message.
  testMessage: "anyone",
  messageShown: "anyone",
  messageOpened: "anyone",
  subscriptions: read,
  subscribe: named("own-phone"),
  unsubscribe: named("own-phone"),
  runs: read,
  run: read,
  readings: read,
  postReadings: { right: "hand-in-readings" },
  trend: read,
  quarantine: read,
  counts: read,
  session: "anyone",
  signIn: "anyone",
  signOut: "anyone",
  stay: "anyone",
  signOutEverywhere: { right: "own-account" },
  ownSecrets: { right: "own-account" },
  welcome: "anyone",
  lookAtLink: "anyone",
  openDisplay: "anyone",
  accounts: { right: "manage-people" },
  addAccount: { right: "manage-people" },
  changeAccount: { right: "manage-people" },
  accountLink: { right: "manage-people" },
  endAccountSessions: { right: "manage-people" },
  keys: { right: "manage-keys" },
  addKey: { right: "manage-keys" },
  revokeKey: { right: "manage-keys" },
  record: { right: "read-own-record" },
  recordHead: read,
};

/** The live stream tells what every page shows, by kind of message. One that is not here does not compile, and is not sent. */
export const liveNeeds: Readonly<Record<LiveFrame["type"], Right>> = {
  hello: "read",
  resync: "read",
  values: "read",
  changes: "read",
};

/** What each page asks for, and so what a display's key opens: a wall that shows one page reads no other's. */
export const displayPages: Readonly<Record<string, readonly (keyof typeof endpoints)[]>> = {
  "/": ["floor"],
  "/flags": ["floor", "flags"],
  "/bench": ["floor", "benchList", "bench"],
  "/limits": ["floor", "limits", "proposals", "proposal"],
  "/instruments": ["floor", "instruments"],
};
