import { z } from "zod";
import { isInfluxUrl } from "../influx-settings.ts";

const name = z.string().trim().min(1).max(200);
const file = z.string().trim().min(1).max(400);

/**
 * InfluxDB as long-term store behind our own. Each of these may be given, or given otherwise, by a variable
 * `STEADYPOUR_INFLUX_*`. A password or token stands in a file or a variable, never here.
 */
export const influxSchema = z.strictObject({
  url: z
    .string()
    .refine(isInfluxUrl, { message: "http:// or https:// with host and port, without user, password or ?" }),
  /** 1 unless told otherwise. */
  version: z.literal([1, 2, 3]).optional(),
  /** With version 2 the bucket. It must be there: we make none. */
  database: name.optional(),
  /** Version 1 only; left out, the database's own. */
  retentionPolicy: name.optional(),
  /** Version 2 only. */
  org: name.optional(),
  user: name.optional(),
  passwordFile: file.optional(),
  tokenFile: file.optional(),
  /** PEM: the authorities that are trusted for it, and no others. Left out, those of Node. */
  caFile: file.optional(),
});
