import { z } from "zod";

const filter = z
  .string()
  .min(1)
  .max(200)
  .regex(/^[^$]/, "a topic filter that does not begin with $, such as ostrimvale/GW-PR/#");

/** Who is let in without an account, under which names the product is reached, and who may send to its own broker. */
export const doorsSchema = z.strictObject({
  /** Names under which browsers reach the product, beside its addresses, this host's own name and localhost. */
  hosts: z
    .array(z.string().regex(/^[a-z0-9]([a-z0-9.-]*[a-z0-9])?$/, "a host name in small letters, without a port"))
    .default([]),
  /** Whether those who are not signed in may look. Left out: where the pages are on this machine alone. */
  openReading: z.boolean().optional(),
  /** Whether readings are taken from senders that do not say who they are. Left out: where they come from this machine alone. */
  openSending: z.boolean().optional(),
  /** Who may connect to the product's own broker, and what they may send and hear. */
  mqtt: z
    .array(
      z.strictObject({
        user: z.string().min(1).max(60),
        password: z
          .string()
          .regex(
            /^\$argon2id\$v=19\$m=\d+,t=\d+,p=\d+\$[A-Za-z0-9+/]+\$[A-Za-z0-9+/]+$/,
            "a line that steadypour hash-password printed",
          ),
        publish: z.array(filter).default([]),
        subscribe: z.array(filter).default([]),
      }),
    )
    .default([]),
});

export type DoorsSettings = z.output<typeof doorsSchema>;
