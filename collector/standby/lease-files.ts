import { readdirSync, rmSync, statSync, utimesSync } from "node:fs";
import { join } from "node:path";
import { lockFile } from "../store/embedded/lock-file.ts";

const named = /^collector-(\d+)\.lock$/;

/**
 * Files by which collectors of one folder see how each other stands: one an epoch, which its holder keeps locked until
 * it ends, and one for whoever stands by. What they beat with is the file's time of change, which takes no room on a
 * full disk.
 */
export interface LeaseFiles {
  /** The highest epoch that was ever claimed here; 0 for none. */
  newest(): number;
  /** Locks the file of an epoch; null where somebody has it. */
  claim(epoch: number): (() => void) | null;
  /** True when nobody holds that epoch any more. */
  isFree(epoch: number): boolean;
  /** Becomes the one that stands by; null while another one is. */
  standBy(): (() => void) | null;
  /** Of an epoch, or of whoever stands by: how far it has counted; null where there is no such file. */
  beatOf(whose: number | "standby"): number | null;
  beat(whose: number | "standby", count: number): void;
  /** Removes the files of lower epochs that nobody holds any more. */
  tidy(below: number): void;
}

export function leaseFiles(folder: string): LeaseFiles {
  const fileOf = (whose: number | "standby"): string =>
    join(folder, whose === "standby" ? "standby.lock" : `collector-${whose}.lock`);
  const epochs = (): number[] => readdirSync(folder).flatMap((name) => Number(named.exec(name)?.[1] ?? []));
  const beat = (whose: number | "standby", count: number): void => utimesSync(fileOf(whose), count, count);
  const isFree = (epoch: number): boolean => {
    const unlock = lockFile(fileOf(epoch), "alone");
    unlock?.();
    return unlock !== null;
  };
  return {
    newest: () => Math.max(0, ...epochs()),
    claim: (epoch) => {
      const unlock = lockFile(fileOf(epoch), "alone");
      if (unlock !== null) beat(epoch, 0);
      return unlock;
    },
    isFree,
    standBy: () => lockFile(fileOf("standby"), "alone"),
    beatOf: (whose) => {
      const stat = statSync(fileOf(whose), { throwIfNoEntry: false });
      return stat === undefined ? null : Math.round(stat.mtimeMs / 1000);
    },
    beat,
    tidy: (below) => {
      for (const epoch of epochs()) if (epoch < below && isFree(epoch)) rmSync(fileOf(epoch), { force: true });
    },
  };
}
