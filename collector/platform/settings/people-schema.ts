import { z } from "zod";
import { roles } from "../../../spc/model/role.ts";
import { duration, id } from "./schema-parts.ts";

const clock = "(?:[01]\\d|2[0-3]):[0-5]\\d";

/** Somebody who gets an account at the next start, unless they have one, and who may be sent messages. */
export const personSchema = z.strictObject({
  id,
  /** As it stands beside decisions. */
  name: z.string().trim().min(1).max(60),
  /** What the person is at the plant, and so what they may do; a viewer, where it is left out. Later changes are made in the product. */
  role: z.enum(roles).default("viewer"),
  /** Hash of the person's first PIN, as `steadypour hash-pin` prints it: decisions at a shared terminal are signed with it. */
  pin: z
    .string()
    .regex(
      /^\$argon2id\$v=19\$m=\d+,t=\d+,p=\d+\$[A-Za-z0-9+/]+\$[A-Za-z0-9+/]+$/,
      "a line that steadypour hash-pin printed",
    )
    .optional(),
  /** Labels of flags that this person gets messages for. */
  labels: z.array(z.enum(["act-now", "look", "for-review", "instrument-fault"])).default([]),
  /** When, on the site's clock: `always`, or `22:00-06:00`. */
  hours: z
    .string()
    .regex(new RegExp(`^(?:always|${clock}-${clock})$`), "always, or a span such as 22:00-06:00")
    .default("always"),
  /** Told only of what nobody has taken for so long: whoever stands in for those who are told at once. */
  after: duration.optional(),
});

/** How messages leave. */
export const messagesSchema = z.strictObject({
  /** Whom a push service may ask about this server; some refuse a contact without a real domain. */
  contact: z.string().regex(/^(mailto:[^@\s]+@[^@\s]+|https:\/\/\S+)$/, "a mailto: or https: address"),
  /** Push services inside the plant, `host:port`; all others must be reached under a public address. */
  services: z
    .array(z.string().regex(/^[a-z0-9.-]+:\d{1,5}$/, "a host and port such as push.plant.example:443"))
    .default([]),
});

export type PersonSettings = z.infer<typeof personSchema>;
export type MessagesSettings = z.infer<typeof messagesSchema>;
