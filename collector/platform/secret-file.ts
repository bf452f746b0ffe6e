import { readFileSync } from "node:fs";
import { Fault } from "./fault.ts";

/** Files with what lets us in somewhere; what is wrong with one is a Fault of this code, which may pass. */
export interface SecretFiles {
  /** The whole text of a file; `what` is what it is for, in words. */
  text(file: string, what: string): string;
  /** A secret with the line end that editors put behind it taken off. */
  secret(file: string, what: string): string;
  unusable(file: string, what: string, why: string, cause?: unknown): Fault;
}

export function secretFiles(code: "broker-access-unusable" | "influx-access-unusable"): SecretFiles {
  const unusable: SecretFiles["unusable"] = (file, what, why, cause) => {
    const uid = process.getuid?.();
    const whose = uid === undefined ? "" : ` (read as user ${uid})`;
    return new Fault(code, `${file}${whose}: no use for ${what}: ${why}`, { retryable: true, cause });
  };
  const text = (file: string, what: string): string => {
    try {
      return readFileSync(file, "utf8");
    } catch (cause) {
      throw unusable(file, what, (cause as Error).message, cause);
    }
  };
  return {
    text,
    secret: (file, what) => {
      const found = text(file, what).replace(/\r?\n$/, "");
      if (found === "") throw unusable(file, what, "the file is empty");
      return found;
    },
    unusable,
  };
}
