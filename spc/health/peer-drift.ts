import type { HealthFinding } from "./finding.ts";
import { difference } from "./shown-words.ts";

export interface PeerPlan {
  /** The change against its peers that matters. */
  readonly within: number;
  readonly unit: string;
}

/** One run: its own level less each peer's, in a fixed order of peers. */
export type PeerGaps = readonly number[];

/** Plain JSON. */
export interface PeerState {
  /** Sums over the first runs of each gap: the baseline is their mean, frozen. */
  readonly sums: readonly number[];
  readonly runs: number;
  /** Runs in a row beyond what matters. */
  readonly beyond: number;
}

/** Positions in one oven differ for good: what they differ by is learned from so many runs, and kept from then on. */
export const baselineRuns = 8;
/** One run may be odd: a load that stands in the way of one position. Common practice, no source. */
const runsBeyond = 2;

export const noPeers: PeerState = { sums: [], runs: 0, beyond: 0 };

/**
 * Drift against peers: its difference to every peer has moved the same way since the first runs, while the peers still
 * agree with each other. With one peer only, either may have moved: `undecided`.
 *
 * @shape   gaps of one run, own level less each peer's; the same peers in the same order each time
 * @unit    that of the series' differences
 * @method  change of each gap against its mean over the first 8 runs; beyond what matters in all of them with one sign, in
 *          two runs in a row, while no two changes differ by more than half of it: `fault`. A position whose level varies
 *          by sigma from run to run, with what matters at 4 sigma, is called so once in some 10 million runs
 * @cost    O(peers) a run
 * @source  derived here; 8 runs and two in a row are common practice, no source
 * @checked tests/unit/spc/health/peer-drift.test.ts, tests/property/spc/health/peer-drift.test.ts
 */
export function peerDrift(
  state: PeerState,
  gaps: PeerGaps,
  { within, unit }: PeerPlan,
): { readonly state: PeerState; readonly finding: HealthFinding | null } {
  if (gaps.length === 0 || !gaps.every(Number.isFinite)) return { state, finding: null };
  // Other peers than before: what was learned says nothing of these.
  const known = state.sums.length === gaps.length || state.runs === 0 ? state : noPeers;
  if (known.runs < baselineRuns) {
    const sums = gaps.map((gap, i) => (known.sums[i] ?? 0) + gap);
    return { state: { sums, runs: known.runs + 1, beyond: 0 }, finding: null };
  }
  const changes = gaps.map((gap, i) => gap - known.sums[i]! / baselineRuns);
  const least = changes.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a));
  const apart = Math.max(...changes) - Math.min(...changes);
  const out = changes.every((change) => Math.abs(change) > within && Math.sign(change) === Math.sign(least));
  const beyond = out ? known.beyond + 1 : 0;
  return { state: { ...known, beyond }, finding: findingOf(beyond, changes.length, least, apart, { within, unit }) };
}

function findingOf(
  beyond: number,
  peers: number,
  least: number,
  apart: number,
  { within, unit }: PeerPlan,
): HealthFinding {
  const check = "peer-drift";
  const moved = `moved by ${difference(least, unit)} against ${peers === 1 ? "its peer" : `all ${peers} peers`}`;
  const says = `${moved} since the first ${baselineRuns} runs, ${difference(within, unit)} matters`;
  if (beyond < runsBeyond) return { check, verdict: "well", says };
  if (peers === 1) return { check, verdict: "undecided", says: `${says}; which of the two moved needs a third` };
  if (apart > within / 2) {
    return {
      check,
      verdict: "undecided",
      says: `${says}, and the peers left each other by ${difference(apart, unit)}`,
    };
  }
  return { check, verdict: "fault", says: `${says}; the peers agree within ${difference(apart, unit)}` };
}
