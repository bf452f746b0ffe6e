import type { Journal } from "../../collector/store/journal.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { Outcome } from "../../spc/model/outcome.ts";
import { ok } from "../../spc/model/outcome.ts";
import type { Signal } from "../../spc/model/signal.ts";
import type { ChanceRate } from "../../spc/proposal/chance-rate.ts";
import { type Replay, replaySteps } from "../../spc/proposal/replay.ts";
import type { TrialSide } from "../../spc/proposal/trial.ts";
import type { WireReplay, WireReplaySummary } from "../contract/bench-wire.ts";
import { inSlices } from "../slices.ts";
import { mostReplayed, newestFirst, spanSteps } from "./bench-window.ts";
import type { Charted } from "./charted.ts";
import { instant } from "./wire-form.ts";

const mostItems = 200;

/** All that was stored after a window, also where source time is ahead of our clock. */
export function afterWindow(
  { recent }: Charted,
  { toMs }: { readonly toMs: number },
  nowMs: number,
): { readonly fromMs: number; readonly toMs: number } {
  return { fromMs: toMs, toMs: Math.max(toMs, nowMs, recent.at(-1)?.atMs ?? toMs) + 1 };
}

/** Signals of a span that are looked through. */
const mostSignals = 50_000;

/** Replays stored runs of a span under limits that are asked about, in slices: readings come in meanwhile. */
export function replayStored(...asked: Parameters<typeof storedSteps>): Promise<Outcome<Replay>> {
  return inSlices(storedSteps(...asked));
}

function* storedSteps(
  journal: Journal,
  characteristic: Characteristic,
  side: TrialSide,
  chance: ChanceRate | null,
  span: { readonly fromMs: number; readonly toMs: number },
): Generator<undefined, Outcome<Replay>> {
  const window = yield* spanSteps(journal, characteristic, span, mostReplayed);
  if (!window.ok) return window;
  const recorded = new Map<string, Signal[]>();
  const signals = { kinds: ["signal"], subject: characteristic.id, ...span } as const;
  for (const entry of (yield* newestFirst(journal, signals, mostSignals)).toReversed()) {
    if (entry.kind !== "signal") continue;
    const { signal } = entry.body;
    recorded.set(signal.run, [...(recorded.get(signal.run) ?? []), signal]);
  }
  return ok(yield* replaySteps(characteristic, side.limits, window.value, recorded, chance));
}

export function wireReplay(replay: Outcome<Replay>): WireReplay {
  if (!replay.ok) return { refusal: replay.refusal };
  const { items } = replay.value;
  return {
    ...wireReplaySummary(replay.value),
    items: items.slice(0, mostItems).map(({ run, atMs, imported, value, proposed, inForce }) => {
      return { run, at: instant(atMs), imported, value, proposed: [...proposed], inForce: [...inForce] };
    }),
    leftOff: Math.max(0, items.length - mostItems),
  };
}

export function wireReplaySummary(replay: Replay): WireReplaySummary {
  const { fromMs, toMs, runs, values, proposed, inForce, both, byChance } = replay;
  return {
    ...{ from: instant(fromMs), to: instant(toMs), runs, values, both, byChance },
    proposed: { runs: proposed.runs, byRule: [...proposed.byRule] },
    inForce: { runs: inForce.runs, byRule: [...inForce.byRule] },
  };
}
