import { goodReadings, type Reading } from "../features/readings.ts";
import { wholeRun } from "../features/window.ts";
import type { Run, RunTrace } from "../model/run.ts";
import { median } from "../stats/quantile.ts";
import { belowLeast } from "./below-least.ts";
import { dropoutIn } from "./dropout.ts";
import type { HealthFinding } from "./finding.ts";
import type { InstrumentPlan, KnownState, StepAnswer, StepLevel } from "./instrument-plan.ts";
import { noPeers, type PeerState, peerDrift } from "./peer-drift.ts";
import { shortedThermocouple } from "./shorted-thermocouple.ts";
import { slowProbe } from "./slow-probe.ts";
import { spikesIn } from "./spikes.ts";
import { zeroAt } from "./zero.ts";

interface RunChecks {
  readonly roles: readonly string[];
  look(
    peers: PeerState | undefined,
    look: RunTrace,
  ): { readonly findings: readonly HealthFinding[]; readonly peers: PeerState | undefined };
}

/** Before a step, so much of the time counts as the level that it leaves. */
const beforeStepMs = 2_000;

/**
 * What one instrument is asked of a run that is over: only what the settings say enough for.
 *
 * @unit    that of the series
 * @method  each check by itself, on the good readings of the run
 * @source  derived here
 * @checked tests/unit/spc/health/instrument.test.ts
 */
export function runChecks(role: string, plan: InstrumentPlan): RunChecks {
  const { zero, peers, slow, spikes, ambientCel, least } = plan;
  const measured = zero?.measure == null ? null : `${role.slice(0, role.lastIndexOf("."))}.${zero.measure}`;
  const others = [
    ...[zero?.against, measured, slow?.witness?.role, levelRole(slow?.to), levelRole(slow?.witness?.to), least?.role],
    ...(peers?.roles ?? []),
  ].filter((one) => one != null);
  return {
    roles: [...new Set(others)],
    look: (memory, look) => {
      const own = goodReadings(look, role);
      const found: (HealthFinding | null)[] = [dropout(role, own, look)];
      if (spikes !== null) found.push(spikesIn(own, { ...spikes, everyMs: look.everyMs[role] ?? spikes.everyMs }));
      if (zero !== null) found.push(zeroOf(measured === null ? own : goodReadings(look, measured), zero, look));
      if (slow !== null) found.push(slowOf(own, slow, look));
      if (least !== null) found.push(leastOf(own, least, look));
      const beside = (peers?.roles ?? []).map((one) => goodReadings(look, one));
      if (ambientCel !== null) found.push(shortedThermocouple({ readings: own, peers: beside, ambientCel }));
      const gaps = own.length === 0 || beside.some((one) => one.length === 0) ? [] : gapsOf(own, beside);
      const drift = peers === null ? null : peerDrift(memory ?? noPeers, gaps, peers);
      if (drift !== null) found.push(drift.finding);
      return { findings: found.filter((one) => one !== null), peers: drift?.state ?? memory };
    },
  };
}

function dropout(role: string, readings: readonly Reading[], look: RunTrace): HealthFinding | null {
  const { run, samples, everyMs } = look;
  const spacing = everyMs[role];
  if (spacing === undefined) return null;
  // Slower ones say nothing of a short hole; of the others the one with most readings does best.
  const others = Object.keys(samples)
    .filter((one) => one !== role && (everyMs[one] ?? Number.POSITIVE_INFINITY) <= 2 * spacing)
    .map((one) => goodReadings(look, one))
    .sort((a, b) => b.length - a.length)[0];
  return dropoutIn({ readings, fromMs: run.startMs, toMs: run.endMs, everyMs: spacing, others: others ?? [] });
}

function zeroOf(own: readonly Reading[], zero: KnownState, look: RunTrace): HealthFinding | null {
  const end = segmentOf(look.run, zero.segment)?.toMs;
  if (end === undefined) return null;
  const inside = ({ tMs }: Reading): boolean => tMs >= end - zero.lastMs && tMs < end;
  if (zero.against === null) return zeroAt(own.filter(inside), zero);
  const other = goodReadings(look, zero.against).filter(inside);
  if (other.length === 0) return null;
  return zeroAt(own.filter(inside), { ...zero, is: median(other.map(({ value }) => value)) });
}

function leastOf(
  own: readonly Reading[],
  least: NonNullable<InstrumentPlan["least"]>,
  look: RunTrace,
): HealthFinding | null {
  const told = goodReadings(look, least.role).at(-1);
  const load = wholeRun(look.run);
  if (told === undefined || !load.ok) return null;
  const endMs = load.value.toMs;
  return belowLeast(
    own.filter(({ tMs }) => tMs >= endMs - least.lastMs && tMs < endMs),
    told.value,
    least,
  );
}

function slowOf(own: readonly Reading[], slow: StepAnswer, look: RunTrace): HealthFinding | null {
  const part = segmentOf(look.run, slow.segment);
  if (part === undefined) return null;
  const inPart = ({ tMs }: Reading): boolean => tMs >= part.fromMs && tMs < part.toMs;
  const levelOf = (to: StepLevel): number | null => {
    if (typeof to === "number") return to;
    const level = goodReadings(look, to.role).filter(inPart);
    return level.length === 0 ? null : median(level.map(({ value }) => value));
  };
  const answer = (readings: readonly Reading[], level: StepLevel) => {
    const before = readings.filter(({ tMs }) => tMs >= part.fromMs - beforeStepMs && tMs < part.fromMs);
    const to = levelOf(level);
    if (before.length === 0 || to === null) return null;
    return { readings: readings.filter(inPart), from: median(before.map(({ value }) => value)), to };
  };
  const step = answer(own, slow.to);
  if (step === null) return null;
  const { witness } = slow;
  const seen = witness === null ? null : answer(goodReadings(look, witness.role), witness.to);
  return slowProbe({
    ...step,
    stepMs: part.fromMs,
    atMostSeconds: slow.atMostSeconds,
    witness: seen === null || witness === null ? null : { ...seen, atMostSeconds: witness.atMostSeconds },
  });
}

function gapsOf(own: readonly Reading[], peers: readonly (readonly Reading[])[]): readonly number[] {
  return peers.map((peer) => medianGap(own, peer));
}

/** Median of the differences to the peer's newest reading at the time: what both share, such as a door, drops out. */
function medianGap(own: readonly Reading[], peer: readonly Reading[]): number {
  let at = 0;
  const gaps = own.map(({ tMs, value }) => {
    while (at + 1 < peer.length && peer[at + 1]!.tMs <= tMs) at += 1;
    return value - peer[at]!.value;
  });
  return median(gaps);
}

function levelRole(to: StepLevel | undefined): string | null {
  return to === undefined || typeof to === "number" ? null : to.role;
}

function segmentOf(run: Run, name: string): Run["segments"][number] | undefined {
  return run.segments.find((segment) => segment.name === name);
}
