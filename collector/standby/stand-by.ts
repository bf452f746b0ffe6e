import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { Log } from "../platform/log.ts";
import { canBeWritten, holderOf } from "../store/embedded/fence.ts";
import { shareDataFolder } from "../store/embedded/lock-data-folder.ts";
import { holderState, type Watched, watched } from "./holder-state.ts";
import { endHung, readHolder, thisProcess } from "./hung-process.ts";
import { type Lease, lease } from "./lease.ts";
import { type LeaseFiles, leaseFiles } from "./lease-files.ts";

export interface StandByParts {
  readonly folder: string;
  /** Of this collector, as people know it. */
  readonly name: string;
  readonly clock: Clock;
  readonly log: Log;
  readonly signal: AbortSignal;
}

const LOOK_MS = 200;
/** A commit takes a fraction of this. */
const WRITE_MS = 1_000;

/**
 * Waits until this collector may take the line, and takes it: at once when the one that held it ended or died, after
 * eight seconds when it hangs. Null when the signal aborts before. Rejects with a Fault where somebody else uses the folder.
 */
export async function standBy(parts: StandByParts): Promise<Lease | null> {
  const { folder, name, log, signal } = parts;
  const leave = shareDataFolder(folder);
  const files = leaseFiles(folder);
  const ends = [leave];
  try {
    const next = await queued(files, parts);
    if (next === null) return null;
    ends.push(next);
    const taken = await awaited(files, parts);
    if (taken === null) return null;
    const { why, ...got } = taken;
    log.info({ pair: name, epoch: got.epoch, from: taken.from?.name, why }, "took the line over");
    ends.length = 0;
    next();
    return lease({
      ...{ folder, files, holder: thisProcess(name), clock: parts.clock, log, epoch: got.epoch },
      former: why === "hung" ? { epoch: got.fromEpoch, holder: taken.from } : null,
      unlock: () => {
        got.unlock();
        leave();
      },
    });
  } finally {
    for (const end of ends.reverse()) end();
    if (signal.aborted) log.info({ pair: name }, "stands by no more");
  }
}

/** One stands by; more than that wait for its place. */
async function queued(files: LeaseFiles, { name, log, clock, signal }: StandByParts): Promise<(() => void) | null> {
  let told = false;
  while (!signal.aborted) {
    const next = files.standBy();
    if (next !== null) return next;
    if (!told) log.info({ pair: name }, "another collector stands by already: waiting for its place");
    told = true;
    await clock.sleep(LOOK_MS, signal).catch(() => undefined);
  }
  return null;
}

interface Taken {
  readonly epoch: number;
  readonly unlock: () => void;
  readonly why: "first" | "gone" | "hung";
  readonly fromEpoch: number;
  readonly from: ReturnType<typeof readHolder>;
}

async function awaited(files: LeaseFiles, parts: StandByParts): Promise<Taken | null> {
  const { folder, name, log, clock, signal } = parts;
  let told = "";
  const tell = (words: string, about: object): void => {
    if (words !== told) log.error({ pair: name, ...about }, words);
    told = words;
  };
  const tryTaking = (newest: number, why: Taken["why"]): Taken | null => {
    try {
      const held = holderOf(folder);
      const from = readHolder(held.holder);
      if (canBeWritten(folder, WRITE_MS)) {
        const epoch = Math.max(newest, held.epoch) + 1;
        const unlock = files.claim(epoch);
        return unlock === null ? null : { epoch, unlock, why, fromEpoch: newest, from };
      }
      if (why === "hung" && from !== null && endHung(from)) {
        log.warn({ pair: name, from: from.name, pid: from.pid }, "the collector hung amid a write, and was ended");
      } else {
        const words = "the line cannot be taken over: a process that hangs amid a write keeps the files; end it";
        tell(words, { from: from?.name, pid: from?.pid });
      }
    } catch (error) {
      if (!(error instanceof Fault) || !error.retryable) throw error;
      tell("the line cannot be taken over: the files cannot be used; tried again", { code: error.code, err: error });
    }
    return null;
  };
  let known: Watched | null = null;
  let standing = false;
  // Goes on from where the last one stood, so that it moves from the first beat on.
  for (let beat = (files.beatOf("standby") ?? 0) % 1_000_000; !signal.aborted; beat += 1) {
    files.beat("standby", beat + 1);
    const newest = files.newest();
    if (newest > 0) {
      const seen = { epoch: newest, beat: files.beatOf(newest) ?? 0, free: files.isFree(newest) };
      known = watched(known, seen, performance.now());
    }
    const state = known === null ? "first" : holderState(known);
    if (state !== "well") {
      const taken = tryTaking(newest, state);
      if (taken !== null) return taken;
    } else if (!standing) {
      standing = true;
      log.info({ pair: name, epoch: newest }, "stands by");
    }
    await clock.sleep(LOOK_MS, signal).catch(() => undefined);
  }
  return null;
}
