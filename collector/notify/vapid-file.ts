import { closeSync, existsSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from "node:fs";
import { join } from "node:path";
import { Fault } from "../platform/fault.ts";
import { newVapidKey, readVapidKey, type VapidKey } from "./push/vapid.ts";

const NAME = "vapid.pem";

/**
 * The key that push services know this server by, made at the first start and kept for its owner's eyes alone. Phones
 * subscribe to this very key, so it is never made anew over one that is there but cannot be read.
 */
export function vapidKeyOf(folder: string): VapidKey {
  const file = join(folder, NAME);
  try {
    if (!existsSync(file)) writeWhole(file, newVapidKey());
    return readVapidKey(readFileSync(file, "utf8"));
  } catch (cause) {
    const words = `${file} cannot be read as the key of this server for messages: ${(cause as Error).message}`;
    throw new Fault("message-key-unusable", words, { retryable: false, cause });
  }
}

/** Under another name first: a start that is cut off leaves no half key. */
function writeWhole(file: string, text: string): void {
  const fresh = `${file}.new`;
  const handle = openSync(fresh, "w", 0o600);
  try {
    writeSync(handle, text);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  renameSync(fresh, file);
}
