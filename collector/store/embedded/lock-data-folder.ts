import { join } from "node:path";
import { Fault } from "../../platform/fault.ts";
import { lockFile } from "./lock-file.ts";
import { makeFolder } from "./make-folder.ts";

const does = { collector: "writes into", api: "serves the pages of" } as const;

/**
 * Makes this process the only one that does this with the folder (writes readings into it, or serves its pages), until
 * the returned function is called or the process dies.
 */
export function lockDataFolder(folder: string, role: keyof typeof does): () => void {
  return held(folder, role, "alone");
}

/** The same among the collectors of one line, which agree by a lease on the one that writes; nobody else then. */
export function shareDataFolder(folder: string): () => void {
  return held(folder, "collector", "with-others");
}

function held(folder: string, role: keyof typeof does, how: Parameters<typeof lockFile>[1]): () => void {
  makeFolder(folder);
  const unlock = lockFile(join(folder, `${role}.lock`), how);
  if (unlock !== null) return unlock;
  throw new Fault(
    "data-folder-in-use",
    `another Steadypour already ${does[role]} ${folder}: stop it, or give this one its own folder (STEADYPOUR_DATA)`,
    { retryable: false },
  );
}
