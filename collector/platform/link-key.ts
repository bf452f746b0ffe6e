import { randomBytes } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Fault } from "./fault.ts";
import { makeKeyFile } from "./make-key-file.ts";

const NAME = "link.key";

/**
 * What collector and api of one data folder know each other by, made by whichever of them starts first and kept for
 * its owner's eyes alone.
 */
export function linkKeyOf(folder: string): string {
  const file = join(folder, NAME);
  try {
    makeKeyFile(file, () => randomBytes(32).toString("hex"));
    const key = readFileSync(file, "utf8");
    if (/^[0-9a-f]{64}$/.test(key)) return key;
    throw new Error("found something else than 64 hexadecimal digits");
  } catch (cause) {
    const words = `${file} cannot be read as the key between collector and api: ${(cause as Error).message}`;
    throw new Fault("link-key-unusable", words, { retryable: false, cause });
  }
}
