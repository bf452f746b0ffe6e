import { chmodSync, existsSync, renameSync, rmSync, writeFileSync } from "node:fs";

/** Debian asks this program before a package starts, stops or restarts its service; 101 means "not allowed". */
const policyPath = "/usr/sbin/policy-rc.d";

/**
 * Installs packages in `work` without any of them starting a service: Debian's mosquitto would start one at once.
 * A policy that was there before is put back.
 */
export function withoutServiceStarts<T>(work: () => T, path: string = policyPath): T {
  const kept = `${path}.before-steadypour-tests`;
  const hadOne = existsSync(path);
  if (hadOne) renameSync(path, kept);
  const restore = (): void => {
    if (hadOne && existsSync(kept)) renameSync(kept, path);
    else if (!hadOne) rmSync(path, { force: true });
  };
  // Ctrl-C must not leave the policy behind: it ends apt, and then this goes on to put things back.
  const held = (): void => undefined;
  process.on("SIGINT", held).on("SIGTERM", held);
  try {
    writeFileSync(path, "#!/bin/sh\nexit 101\n");
    chmodSync(path, 0o755);
    return work();
  } finally {
    restore();
    process.off("SIGINT", held).off("SIGTERM", held);
  }
}
