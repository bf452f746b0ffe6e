import { z } from "zod";
import { bothOrNeither, bothWords, idText, signature } from "./query.ts";

const instant = z.iso.datetime();
const maybeInstant = instant.nullable();
const label = z.enum(["act-now", "look", "for-review", "instrument-fault"]);
const base64url = (most: number) => z.string().regex(new RegExp(`^[A-Za-z0-9_-]{1,${most}}=*$`), "base64url");

/** What a page must know to set a phone up. */
export const messageSetUpSchema = z.object({
  /** False where the settings name no contact: nobody is told of anything. */
  on: z.boolean(),
  /** What a browser subscribes with; null where no messages leave. */
  publicKey: z.string().nullable(),
  site: z.string(),
  zone: z.string(),
  persons: z.array(
    z.object({
      ...{ id: z.string(), name: z.string(), hasPin: z.boolean(), labels: z.array(label), hours: z.string() },
      /** Told only of what nobody has taken for so long; null for at once. */
      after: z.string().nullable(),
    }),
  ),
  /** Push services that do not let this server in, and since when. */
  trouble: z.array(z.object({ service: z.string(), status: z.number().int(), since: instant })),
});

export const deviceSchema = z.object({
  id: z.string(),
  person: z.string(),
  name: z.string(),
  /** `ok`: it shows what it is sent. `doubtful`: it never did, or not the last two messages. `gone`: nothing is sent there. */
  state: z.enum(["ok", "doubtful", "gone"]),
  addedAt: instant,
  goneAt: maybeInstant,
  goneWhy: z.enum(["service", "person"]).nullable(),
  lastAcceptedAt: maybeInstant,
  lastShownAt: maybeInstant,
});

export const subscribeSchema = z
  .strictObject({
    ...signature,
    /** What its owner calls the device. */
    name: z.string("1 to 40 characters").trim().min(1, "1 to 40 characters").max(40, "1 to 40 characters"),
    /** As the browser gives it. */
    subscription: z.strictObject({
      endpoint: z.url({ protocol: /^https$/, error: "an https: address" }).max(1000),
      expirationTime: z.number().nullable().optional(),
      keys: z.strictObject({ p256dh: base64url(90), auth: base64url(30) }),
    }),
  })
  .refine(bothOrNeither, bothWords);

/** The secret is told this once: the device proves itself with it. */
export const subscribedSchema = z.object({ device: deviceSchema, secret: z.string() });
export const unsubscribeSchema = z.strictObject(signature).refine(bothOrNeither, bothWords);
export const trialMessageSchema = z.strictObject({ device: idText, secret: z.string().max(100) });
export const reportSchema = z.strictObject({ device: idText, token: z.string().max(100) });
export const reportedSchema = z.object({ shownAt: maybeInstant, openedAt: maybeInstant });

/** What became of a message on one device. Each state has its own time: that it was accepted says nothing of its being shown. */
export const deliverySchema = z.object({
  /** Null where the person has no device. */
  device: z.string().nullable(),
  deviceName: z.string().nullable(),
  state: z.enum(["queued", "accepted", "shown", "opened", "failed"]),
  queuedAt: instant,
  /** Newest attempt. */
  sentAt: maybeInstant,
  attempts: z.number().int(),
  /** What the newest attempt was answered: a status, or why there was none. */
  answer: z.string().nullable(),
  /** When it is tried next. */
  againAt: maybeInstant,
  acceptedAt: maybeInstant,
  shownAt: maybeInstant,
  openedAt: maybeInstant,
  failedAt: maybeInstant,
  reason: z
    .enum(["no-device", "gone", "expired", "unreachable", "service-trouble", "not-allowed", "refused"])
    .nullable(),
});

export const messageSchema = z.object({
  id: z.string(),
  person: z.string(),
  personName: z.string(),
  /** Null of a trial. */
  flag: z.string().nullable(),
  why: z.enum(["opened", "raised", "further", "again", "over", "trial"]),
  label,
  title: z.string(),
  body: z.string(),
  queuedAt: instant,
  expiresAt: instant,
  deliveries: z.array(deliverySchema),
  /** Who has the flag, as it stands now. */
  taken: z.object({ by: z.string(), at: instant }).nullable(),
});

export type WireMessageSetUp = z.infer<typeof messageSetUpSchema>;
export type WireDevice = z.infer<typeof deviceSchema>;
export type WireSubscribed = z.infer<typeof subscribedSchema>;
export type WireDelivery = z.infer<typeof deliverySchema>;
export type WireMessage = z.infer<typeof messageSchema>;
