import { requireCommand } from "./find-command.ts";
import { nodeOptions, type RunningProcess, start } from "./running-process.ts";

export interface OnSmallDisk extends RunningProcess {
  /** A path of that disk as it is seen from outside, while the process lives. */
  seen(path: string): string;
}

/** Where the small disk lies for the process that has it. */
export const smallDisk = "/mnt";

/**
 * Starts `node` with a disk of its own of so many KiB at `smallDisk`, of which a file `ballast` takes `ballastKib`. It
 * is a tmpfs in a mount namespace: nobody else sees it, and it goes with the process. Without root that needs user
 * namespaces, and where a machine has neither the process ends with what the system says.
 */
export function startOnSmallDisk(
  words: readonly string[],
  environment: Readonly<Record<string, string>>,
  { kib, ballastKib = 0, readOnly = false }: { kib: number; ballastKib?: number; readOnly?: boolean },
): OnSmallDisk {
  const script = [
    "set -e",
    `mount -t tmpfs -o size=${kib}k steadypour-test ${smallDisk}`,
    `mkdir ${smallDisk}/data`,
    `head -c ${ballastKib * 1024} /dev/zero > ${smallDisk}/ballast`,
    readOnly ? `mount -o remount,ro ${smallDisk}` : "",
    'exec "$0" "$@"',
  ].join("\n");
  const asRoot = process.getuid?.() === 0 ? [] : ["--user", "--map-root-user"];
  const own = [...asRoot, "--mount", "bash", "-c", script, process.execPath, ...nodeOptions, ...words];
  const process_ = start(requireCommand("unshare"), own, environment);
  return { ...process_, seen: (path) => `/proc/${process_.pid}/root${path}` };
}
