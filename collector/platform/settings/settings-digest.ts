import { createHash } from "node:crypto";

/** SHA-256 of a settings file, by which a change of it is known. */
export function settingsDigest(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}
