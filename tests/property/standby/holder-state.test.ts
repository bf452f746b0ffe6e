import fc from "fast-check";
import { expect, test } from "vitest";
import {
  BEGIN_MS,
  HUNG_MS,
  holderState,
  LOOK_COUNTS_MS,
  type Seen,
  type Watched,
  watched,
} from "../../../collector/standby/holder-state.ts";

const gap = fc.oneof(fc.integer({ min: 0, max: 1_000 }), fc.integer({ min: -1e9, max: 1e9 }));

test("one that beats is never called hung, whatever the clock of the one that looks does", () => {
  fc.assert(
    fc.property(fc.array(gap, { maxLength: 200 }), (gaps) => {
      let known: Watched | null = null;
      let nowMs = 0;
      gaps.forEach((ms, beat) => {
        nowMs += ms;
        known = watched(known, { epoch: 1, beat, free: false }, nowMs);
        expect(holderState(known)).toBe("well");
      });
    }),
  );
});

test("one that stands still is called hung neither too early nor late: after so much time during which somebody looked", () => {
  const looks = fc.array(fc.integer({ min: 0, max: 2 * LOOK_COUNTS_MS }), { minLength: 1, maxLength: 400 });
  fc.assert(
    fc.property(looks, fc.integer({ min: 0, max: 5 }), (gaps, beat) => {
      const seen: Seen = { epoch: 3, beat, free: false };
      let known = watched(null, seen, 0);
      let [nowMs, counted] = [0, 0];
      for (const ms of gaps) {
        nowMs += ms;
        counted += Math.min(ms, LOOK_COUNTS_MS);
        known = watched(known, seen, nowMs);
        expect(holderState(known)).toBe(counted >= (beat === 0 ? BEGIN_MS : HUNG_MS) ? "hung" : "well");
        expect(holderState(watched(known, { ...seen, free: true }, nowMs))).toBe("gone");
      }
    }),
  );
});

/** What the model's processes share, as the files and the system keep it. */
interface Shared {
  /** In the files that are written: who writes must find its own epoch there, in the same transaction. */
  epoch: number;
  readonly beats: Map<number, number>;
  readonly locked: Set<number>;
  readonly commits: number[];
}

interface Process {
  state: "off" | "runs" | "paused";
  /** Of the one that holds the line, or thinks so. */
  epoch: number | null;
  known: Watched | null;
}

type Step = { readonly who: number; readonly what: "pause" | "wake" | "kill" | "start" } | { readonly runMs: number };

/** One look, beat or commit of a process, each a step that nothing comes between, as the system and SQLite make them. */
function act(one: Process, shared: Shared, nowMs: number): void {
  if (one.epoch !== null) {
    if (shared.epoch === one.epoch) {
      shared.commits.push(one.epoch);
      shared.beats.set(one.epoch, (shared.beats.get(one.epoch) ?? 0) + 1);
    } else die(one, shared);
    return;
  }
  const newest = Math.max(0, ...shared.beats.keys());
  const seen = { epoch: newest, beat: shared.beats.get(newest) ?? 0, free: !shared.locked.has(newest) };
  one.known = watched(one.known, seen, nowMs);
  if (holderState(one.known) === "well") return;
  one.epoch = newest + 1;
  shared.locked.add(one.epoch);
  shared.beats.set(one.epoch, 0);
  shared.epoch = one.epoch;
}

function die(one: Process, { locked }: Shared): void {
  if (one.epoch !== null) locked.delete(one.epoch);
  Object.assign(one, { state: "off", epoch: null, known: null });
}

test("however processes are stopped, woken, killed and started, no write of a former holder follows one of a later, and the line is taken in the time stated", () => {
  const step: fc.Arbitrary<Step> = fc.oneof(
    fc.record({
      who: fc.integer({ min: 0, max: 2 }),
      what: fc.constantFrom("pause" as const, "wake" as const, "kill" as const, "start" as const),
    }),
    fc.record({ runMs: fc.integer({ min: 0, max: 3 * HUNG_MS }) }),
  );
  fc.assert(
    fc.property(fc.array(step, { maxLength: 60 }), (steps) => {
      const shared: Shared = { epoch: 0, beats: new Map(), locked: new Set(), commits: [] };
      const all: Process[] = [0, 1, 2].map(() => ({ state: "off", epoch: null, known: null }));
      let nowMs = 0;
      const run = (ms: number): void => {
        for (const untilMs = nowMs + ms; nowMs < untilMs; nowMs += 200) {
          for (const one of all) if (one.state === "runs") act(one, shared, nowMs);
        }
      };
      for (const one of steps) {
        if ("runMs" in one) {
          run(one.runMs);
          continue;
        }
        const process = all[one.who]!;
        if (one.what === "kill") die(process, shared);
        else if (one.what === "start" && process.state === "off") process.state = "runs";
        else if (one.what === "pause" && process.state === "runs") process.state = "paused";
        else if (one.what === "wake" && process.state === "paused") process.state = "runs";
      }
      expect(shared.commits).toEqual([...shared.commits].sort((a, b) => a - b));
      const awake = all.filter(({ state }) => state === "runs").length;
      const before = shared.commits.length;
      // One that woke may have to find out first, and end; then the next one takes over.
      run(HUNG_MS + 1_000);
      if (awake > 1) expect(shared.commits.length).toBeGreaterThan(before);
    }),
  );
});
