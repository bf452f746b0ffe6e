import { z } from "zod";
import { roles } from "../../spc/model/role.ts";
import { displayPages, type Right, rights, scopes } from "./access.ts";
import { cursorText, idText, instantText, limitText } from "./query.ts";

const instant = z.iso.datetime();
const maybeInstant = instant.nullable();
const role = z.enum(roles, `one of ${roles.join(", ")}`);
const idWords = "2 to 40 small letters, digits and hyphens, beginning with a letter";
const accountId = z.string(idWords).regex(/^[a-z][a-z0-9-]{1,39}$/, idWords);
const personName = z
  .string("a name")
  .trim()
  .min(1, "a name")
  .max(60, "at most 60 characters")
  .regex(/^[^\p{C}<>]*$/u, "a name without control characters and angle brackets");
const secret = z.string("a text").min(1, "a text").max(200, "at most 200 characters");
const password = z.string("a password").max(512, "at most 512 characters");
const pin = z.string("a PIN").max(100, "4 to 12 digits");
const reason = z
  .string("a reason")
  .trim()
  .min(3, "a reason of 3 characters or more")
  .max(500, "at most 500 characters");
/** Stages and stations of the settings, which the route holds them to; none: the whole plant. */
const areas = z
  .array(z.string("a stage or station").trim().min(1, "a stage or station").max(200, "at most 200 characters"))
  .max(200, "at most 200 in the list");
const right = z.enum(Object.keys(rights) as [Right, ...Right[]]);
const pages = Object.keys(displayPages) as [string, ...string[]];

/** Who is asking, and what they may: pages show their controls by it. */
export const sessionSchema = z.object({
  kind: z.enum(["nobody", "person", "terminal", "display", "program", "phone"]),
  person: z
    .object({ id: z.string(), name: z.string(), role, hasPin: z.boolean(), areas: z.array(z.string()) })
    .nullable(),
  rights: z.array(right),
  /** When it ends if nobody does anything. */
  endsAt: maybeInstant,
  /** The page that a display shows. */
  page: z.string().nullable(),
  /** False until the first administrator is there. */
  ready: z.boolean(),
});

export const signInSchema = z.strictObject({
  account: z.string("an account").trim().min(1, "an account").max(60, "at most 60 characters"),
  password,
  /** A terminal that a shift shares. */
  shared: z.boolean("true or false").default(false),
});

export const ownSecretsSchema = z.strictObject({
  password,
  newPassword: password.optional(),
  newPin: pin.optional(),
});

export const welcomeSchema = z.strictObject({
  token: secret,
  password,
  pin: pin.optional(),
  /** Of the first administrator alone: all others have theirs already. */
  id: accountId.optional(),
  name: personName.optional(),
});

/** What a one-time link opens; none of it is used up by asking. */
export const lookAtLinkSchema = z.strictObject({ token: secret });
/** Whose it is; null of the first administrator's. */
export const openLinkSchema = z.object({ name: z.string().nullable() });

export const displaySchema = z.strictObject({ key: secret });

export const accountSchema = z.object({
  id: z.string(),
  name: z.string(),
  role,
  areas: z.array(z.string()),
  hasPassword: z.boolean(),
  hasPin: z.boolean(),
  madeAt: instant,
  closedAt: maybeInstant,
  sessions: z.number().int(),
});
export const accountsSchema = z.object({ items: z.array(accountSchema) });
export const addAccountSchema = z.strictObject({
  id: accountId,
  name: personName,
  role,
  areas: areas.default([]),
  reason,
});
export const changeAccountSchema = z.strictObject({
  name: personName.optional(),
  role: role.optional(),
  areas: areas.optional(),
  closed: z.boolean("true or false").optional(),
  reason,
});
export const reasonSchema = z.strictObject({ reason });

/** The token stands in the link this once, behind the `#`, which browsers send nowhere. */
export const linkSchema = z.object({ path: z.string(), until: instant });

export const keySchema = z.object({
  id: z.string(),
  kind: z.enum(["display", "token"]),
  name: z.string(),
  page: z.string().nullable(),
  scopes: z.array(z.enum(scopes)),
  madeAt: instant,
  usedAt: maybeInstant,
  revokedAt: maybeInstant,
});
export const keysSchema = z.object({ items: z.array(keySchema) });
export const addKeySchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("display"),
    name: personName,
    page: z.enum(pages, `one of ${pages.join(", ")}`),
    reason,
  }),
  z.strictObject({
    kind: z.literal("token"),
    name: personName,
    scopes: z.array(z.enum(scopes, `one of ${scopes.join(", ")}`)).min(1, "one scope or more"),
    reason,
  }),
]);
/** The secret is told this once. */
export const madeKeySchema = z.object({ key: keySchema, secret: z.string() });

/** What the Change Record holds, and whether it is of the process: flags, limits, runs and what is measured. */
export const changeKinds = {
  "flag-taken": "process",
  "flag-done": "process",
  "values-written": "process",
  "values-corrected": "process",
  "recompute-asked": "process",
  "set-up-said": "process",
  "set-up-corrected": "process",
  "limits-proposed": "process",
  "limits-agreed": "process",
  "limits-withdrawn": "process",
  "limits-set": "process",
  "runs-imported": "process",
  "settings-changed": "process",
  "account-made": "house",
  "account-changed": "house",
  "password-set": "house",
  "pin-set": "house",
  "link-made": "house",
  "terminal-opened": "house",
  "signed-out-everywhere": "house",
  "key-made": "house",
  "key-revoked": "house",
  "phone-added": "house",
  "phone-removed": "house",
} as const;
export type ChangeKind = keyof typeof changeKinds;
const kinds = Object.keys(changeKinds) as [ChangeKind, ...ChangeKind[]];

export const recordQuery = z.strictObject({
  kind: z.enum(kinds, `one of ${kinds.join(", ")}`).optional(),
  person: idText.optional(),
  subject: idText.optional(),
  from: instantText.optional(),
  to: instantText.optional(),
  limit: limitText.optional(),
  after: cursorText.optional(),
});

export const changeSchema = z.object({
  n: z.number().int(),
  at: instant,
  clock: z.enum(["synchronised", "not-known", "stepped"]),
  kind: z.string(),
  subject: z.string(),
  old: z.unknown(),
  new: z.unknown(),
  reason: z.string(),
  by: z.object({ id: z.string(), name: z.string(), role: z.string(), device: z.string() }),
  before: z.string(),
  hash: z.string(),
});

export const headSchema = z.object({ n: z.number().int(), hash: z.string() });

export type WireSession = z.infer<typeof sessionSchema>;
export type WireAccount = z.infer<typeof accountSchema>;
export type WireAccessKey = z.infer<typeof keySchema>;
export type WireChange = z.infer<typeof changeSchema>;
