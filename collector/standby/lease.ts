import type { Clock } from "../platform/clock.ts";
import type { Fault } from "../platform/fault.ts";
import type { Log } from "../platform/log.ts";
import { type Fence, holderOf, leaseLost } from "../store/embedded/fence.ts";
import { type Watched, watched } from "./holder-state.ts";
import { endHung, type Holder } from "./hung-process.ts";
import type { LeaseFiles } from "./lease-files.ts";

/** How a pair of collectors stands, as the one that holds the line sees it. */
export interface PairStatus {
  /** Name of the one that takes readings and judges. */
  readonly active: string;
  /** How often the line was taken, first starts included. */
  readonly epoch: number;
  /** Since when nobody stands by; null while somebody does. */
  readonly aloneSinceMs: number | null;
}

/** What it is to hold the line. */
export interface Lease extends Fence {
  /** Rejects when another collector has taken over: the process must end then. */
  readonly lost: Promise<never>;
  /** All is started: from now on it beats. */
  begin(): void;
  /** Throws a Fault when another collector has taken over. */
  check(): void;
  status(): PairStatus;
  /** Ends it; whoever stands by takes over at once. */
  close(): void;
}

export interface LeaseParts {
  readonly folder: string;
  readonly files: LeaseFiles;
  readonly epoch: number;
  readonly holder: Holder;
  readonly unlock: () => void;
  /** One that hung when it was taken over from, and may still be there. */
  readonly former: { readonly epoch: number; readonly holder: Holder | null } | null;
  readonly clock: Clock;
  readonly log: Log;
}

const BEAT_MS = 500;
/** Whoever stands by beats five times a second; so long without one, and nobody does. */
const ALONE_MS = 3_000;
/** A former one that hangs keeps memory and holds up the store's tidying: given time to wake and end, then ended. */
const LINGER_MS = 60_000;

export function lease(parts: LeaseParts): Lease {
  const { folder, files, epoch, holder, clock, log } = parts;
  let { former } = parts;
  let timer: NodeJS.Timeout | undefined;
  let count = 0;
  let standby: Watched | null = null;
  let aloneSinceMs: number | null = clock.nowMs();
  let lingersMs = 0;
  let told = "";
  let end: (fault: Fault) => void = () => undefined;
  const gone = new Promise<never>((_, reject) => {
    end = reject;
  });
  // Whoever waits for it hears of it; until then it is no rejection that nobody handles.
  gone.catch(() => undefined);

  const overtaken = (by: number): void => {
    clearInterval(timer);
    end(leaseLost(epoch, by));
  };
  const check = (): void => {
    const found = holderOf(folder).epoch;
    if (found <= epoch) return;
    overtaken(found);
    throw leaseLost(epoch, found);
  };
  const lookAtStandby = (): void => {
    const beat = files.beatOf("standby");
    const before = standby;
    if (beat !== null) standby = watched(before, { epoch: 0, beat, free: false }, performance.now());
    const moved = before !== null && standby !== null && standby.beat !== before.beat;
    if (moved) aloneSinceMs = null;
    else if (standby !== null && standby.stillMs >= ALONE_MS) aloneSinceMs ??= clock.nowMs();
  };
  const lookAtFormer = (): void => {
    if (former === null) return;
    if (files.isFree(former.epoch)) {
      former = null;
      files.tidy(epoch);
      return;
    }
    lingersMs += BEAT_MS;
    if (lingersMs < LINGER_MS) return;
    const about = { pair: former.holder?.name, pid: former.holder?.pid };
    const ended = former.holder !== null && endHung(former.holder);
    if (ended) log.warn(about, "the former collector still hung, and was ended");
    else log.error(about, "the former collector still hangs and cannot be ended from here: end that process");
    former = null;
  };
  const turn = (): void => {
    try {
      check();
      count += 1;
      files.beat(epoch, count);
      lookAtStandby();
      lookAtFormer();
      told = "";
    } catch (error) {
      const { message, code } = error as Fault;
      if (code === "lease-lost") return;
      // A folder that fails is no reason to end: whoever stands by takes over if it fares better.
      if (message !== told) log.error({ err: error }, "the lease could not be kept fresh; tried again");
      told = message;
    }
  };

  return {
    ...{ epoch, holder: JSON.stringify(holder), overtaken, lost: gone, check },
    begin: () => {
      files.tidy(epoch);
      turn();
      timer = setInterval(turn, BEAT_MS);
    },
    status: () => ({ active: holder.name, epoch, aloneSinceMs }),
    close: () => {
      clearInterval(timer);
      parts.unlock();
    },
  };
}
