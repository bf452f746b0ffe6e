import { z } from "zod";
import { isBrokerUrl } from "../broker-settings.ts";

const file = z.string().trim().min(1).max(400);

/**
 * An outside broker in place of the embedded one. Each of these may be given, or given otherwise, by a variable
 * `STEADYPOUR_BROKER_*`. A password stands in a file or a variable, never here.
 */
export const brokerSchema = z.strictObject({
  url: z.string().refine(isBrokerUrl, {
    message: "mqtt://, mqtts://, ws:// or wss:// with host and port, without user, password or ?",
  }),
  /** 3.1.1 unless told otherwise. */
  version: z.literal(["3.1.1", 5]).optional(),
  /** The broker keeps our session under it. Left out, it follows from the site's name. */
  clientId: z.string().trim().min(1).max(200).optional(),
  user: z.string().min(1).max(200).optional(),
  passwordFile: file.optional(),
  /** PEM: the authorities that are trusted for this broker, and no others. Left out, those of Node. */
  caFile: file.optional(),
  /** PEM: our certificate with its chain, and its key, for brokers that ask for one. */
  certFile: file.optional(),
  keyFile: file.optional(),
  /** Name in the broker's certificate, where the URL has an address or another name. */
  serverName: z.string().trim().min(1).max(253).optional(),
});
