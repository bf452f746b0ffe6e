import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Fault } from "../platform/fault.ts";
import { makeKeyFile } from "../platform/make-key-file.ts";
import { newVapidKey, readVapidKey, type VapidKey } from "./push/vapid.ts";

const NAME = "vapid.pem";

/**
 * The key that push services know this server by, made at the first start and kept for its owner's eyes alone. Phones
 * subscribe to this very key, so it is never made anew over one that is there but cannot be read.
 */
export function vapidKeyOf(folder: string): VapidKey {
  const file = join(folder, NAME);
  try {
    makeKeyFile(file, newVapidKey);
    return readVapidKey(readFileSync(file, "utf8"));
  } catch (cause) {
    const words = `${file} cannot be read as the key of this server for messages: ${(cause as Error).message}`;
    throw new Fault("message-key-unusable", words, { retryable: false, cause });
  }
}
