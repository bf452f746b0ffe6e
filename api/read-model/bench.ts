import type { Journal } from "../../collector/store/journal.ts";
import { chartPairOf } from "../../spc/charts/pair.ts";
import { pointEveryMs } from "../../spc/model/characteristic.ts";
import type { PricedBy } from "../../spc/price/pair-price.ts";
import { untoldRate } from "../../spc/price/untold-rate.ts";
import { cautionWords } from "../../spc/proposal/caution-words.ts";
import { chanceRateSteps } from "../../spc/proposal/chance-rate.ts";
import { rulePriceSteps } from "../../spc/proposal/rule-prices.ts";
import { weeklyRate } from "../../spc/proposal/weekly-rate.ts";
import { ruleIds } from "../../spc/rules/rule-ids.ts";
import type { WireBench, WireProposal } from "../contract/bench-wire.ts";
import type { WireCharacteristic } from "../contract/wire.ts";
import { inSlices } from "../slices.ts";
import { benchCauses, benchChange, benchFlags, benchSignals, closedAfter } from "./bench-flags.ts";
import { type BenchPoints, type BenchSpan, benchGaps, benchPhases, benchPoints } from "./bench-points.ts";
import { chartHead, wireChance } from "./bench-wire-form.ts";
import { type Charted, limitsInForce } from "./charted.ts";
import { missingRuns, staleOf } from "./limit-book.ts";
import { proposalsOn } from "./proposals.ts";
import type { ReadModel } from "./read-model.ts";
import { wirePoint } from "./wire-characteristic.ts";
import { instant, instantOrNull } from "./wire-form.ts";

/** Everything that the Chart Bench draws of one characteristic. */
export async function bench(
  journal: Journal,
  model: ReadModel,
  charted: Charted,
  wire: WireCharacteristic,
  span: BenchSpan,
  nowMs: number,
): Promise<WireBench> {
  const { characteristic } = charted;
  const limits = limitsInForce(charted, nowMs);
  const drawn = benchPoints(journal, charted, limits, span);
  const { points } = drawn;
  const flags = benchFlags(model.book, charted, points);
  const closed = closedAfter(journal, charted);
  const proposals = proposalsOn(model, characteristic.id);
  const pointsAWeek = weeklyRateOf(charted);
  const { kinds } = chartPairOf(characteristic);
  // Rules that compare neighbours are simulated the first time: readings that come meanwhile are let through.
  const bare = { rules: characteristic.rules, basis: "chart", charts: kinds } as const;
  const untold = limits !== undefined && untoldRate(limits.diagnostics) !== null;
  const price = (await inSlices(prices(limits ?? bare, pointsAWeek))).map((one) => (untold ? unpriced(one) : one));
  const chance = limits === undefined ? null : await inSlices(chanceRateSteps(limits, pointsAWeek));
  return {
    now: instant(nowMs),
    characteristic: chartHead(charted),
    charts: [...(limits?.charts ?? kinds)],
    chart: wire.chart,
    subgroup: wire.subgroup,
    quantity: characteristic.quantity,
    reference: characteristic.reference,
    specification: wire.specification,
    everyMs: pointEveryMs(characteristic),
    span: {
      from: instantOrNull(span.fromMs ?? points[0]?.atMs),
      to: instantOrNull(span.toMs ?? (points.length === 0 ? null : newestMs(points) + 1)),
      leftOff: drawn.leftOff,
    },
    phases: benchPhases(charted, drawn),
    points: wirePoints(model, drawn),
    gaps: benchGaps(charted, drawn),
    exclusions: exclusionsOf(charted, drawn, proposals),
    flags,
    signals: benchSignals(journal, charted, points),
    change: benchChange(journal, model.book, charted, closed),
    causes: benchCauses(flags, closed),
    chance: chance === null ? null : wireChance(chance),
    cautions: limits === undefined ? [] : [...cautionWords(limits)],
    stale: staleOf(charted, limits, nowMs),
    price,
    pointsAWeek,
    capability: wire.capability,
    limits: wire.limits,
    missing: missingRuns(charted, limits),
    proposals,
  };
}

/** Points a week at the characteristic's own pace: of the runs we saw, else of those that were imported. */
export function weeklyRateOf({ characteristic, recent, imported }: Charted): number {
  const times = recent.length > 0 ? recent : imported.slice(Math.max(0, imported.count - 1_000), imported.count);
  return weeklyRate(
    times.map(({ atMs }) => atMs),
    pointEveryMs(characteristic),
  );
}

function* prices(set: PricedBy, pointsAWeek: number): Generator<undefined, WireBench["price"]> {
  const found: WireBench["price"] = [];
  for (const rule of ruleIds) found.push(yield* rulePriceSteps(set, rule, pointsAWeek));
  return found;
}

/** A rule of limits that no chance rate can be told of. */
function unpriced(price: WireBench["price"][number]): WireBench["price"][number] {
  const none = { onceIn: null, withIt: null, withoutIt: null, standardError: null };
  return { ...price, ...none, pairWithIt: null, pairWithoutIt: null };
}

function newestMs(points: BenchPoints["points"]): number {
  return points.reduce((newest, { atMs }) => Math.max(newest, atMs), Number.NEGATIVE_INFINITY);
}

function wirePoints({ book }: ReadModel, { points, anew }: BenchPoints): WireBench["points"] {
  return points.map((point, place) => {
    const { characteristic: _known, ...rest } = wirePoint(point, book);
    return { ...rest, anew: anew.has(place) };
  });
}

/** Runs that a drawn limit set leaves out, with all that is written of why. */
function exclusionsOf(
  { limitSets }: Charted,
  { points }: BenchPoints,
  proposals: readonly WireProposal[],
): WireBench["exclusions"] {
  const ruling = new Set(points.map(({ limitSet }) => limitSet));
  return limitSets
    .filter(({ id }) => ruling.has(id))
    .flatMap(({ id: limitSet, baseline }) => {
      const known = proposals.find(({ agreed }) => agreed?.limitSet === limitSet)?.exclusions ?? [];
      return Object.entries(baseline.excluded).map(([run, cause]) => {
        const full = known.find((one) => one.run === run);
        return { ...(full ?? { run, cause }), limitSet };
      });
    });
}
