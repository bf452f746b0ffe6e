import type { Writable } from "node:stream";
import { Fault } from "../../../collector/platform/fault.ts";

/**
 * Writes pieces one after another and waits whenever the reader is slower. Ends quietly when the reader has gone, as
 * with `| head`: what was asked for was shown.
 */
export async function writeAll(to: Writable, pieces: Iterable<string>): Promise<void> {
  let gone: Error | null = null;
  let wake = (): void => {};
  const failed = (error: Error): void => {
    gone = error;
    wake();
  };
  const drained = (): void => wake();
  to.on("error", failed);
  to.on("drain", drained);
  try {
    for (const text of pieces) {
      if (gone !== null) break;
      if (to.write(text)) continue;
      // The reader may have gone in this very moment, before anybody waits.
      await new Promise<void>((resolve) => {
        wake = resolve;
        if (gone !== null) resolve();
      });
    }
    // A write that fails says so later: the last one must be through before the command ends.
    if (gone === null) {
      gone = await new Promise<Error | null>((resolve) => to.write("", (error) => resolve(error ?? null)));
    }
  } finally {
    to.off("drain", drained);
    // The error stays heard: the stream may repeat it when the process ends.
  }
  if (gone === null || isGone(gone)) return;
  const code = (gone as NodeJS.ErrnoException).code ?? "unknown reason";
  const options = { retryable: false, cause: gone };
  throw new Fault("output-unwritable", `standard output cannot be written (${code})`, options);
}

function isGone(error: Error): boolean {
  const { code } = error as NodeJS.ErrnoException;
  return code === "EPIPE" || code === "ECONNRESET" || code === "ERR_STREAM_DESTROYED";
}
