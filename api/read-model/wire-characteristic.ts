import { LEAST_VALUES } from "../../spc/charts/baseline-values.ts";
import { runsOfPoint } from "../../spc/model/characteristic.ts";
import type { PointMember, PointRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { Refusal } from "../../spc/model/outcome.ts";
import { pairPrice } from "../../spc/price/pair-price.ts";
import { untoldRate } from "../../spc/price/untold-rate.ts";
import type { WireCharacteristic, WirePoint } from "../contract/wire.ts";
import { capabilityOf } from "./capability-of.ts";
import type { Charted } from "./charted.ts";
import type { FlagBook } from "./flag-book.ts";
import { importedPoints } from "./imported-points.ts";
import { instant, wireChartPoint, wireLimitSet } from "./wire-form.ts";

export function wirePoint(point: PointRecord, flags: FlagBook): WirePoint {
  return {
    characteristic: point.characteristic,
    run: point.run,
    subgroup: point.subgroup,
    at: instant(point.atMs),
    imported: point.imported,
    limitSet: point.limitSet,
    location: wireChartPoint(point.location),
    spread: wireChartPoint(point.spread),
    ...(point.refusal === undefined ? {} : { refusal: point.refusal }),
    ...(point.members === undefined ? {} : { members: point.members.map(wireMember) }),
    ...(point.shortBy === undefined ? {} : { shortBy: point.shortBy }),
    ...(point.silenced === undefined ? {} : { silenced: point.silenced.map((one) => ({ ...one })) }),
    signals: [...point.signals],
    flag: flags.ofSignals(point.signals),
  };
}

function wireMember({ run, atMs, value }: PointMember) {
  return { run, at: instant(atMs), value };
}

/** The newest points of a characteristic as pages draw them, oldest first: imported ones where streamed ones end. */
export function newestPoints(charted: Charted, limits: LimitSet | undefined, most: number): PointRecord[] {
  const streamed = charted.recent.slice(-most);
  const { imported, characteristic } = charted;
  const room = streamed.length < charted.streamed ? 0 : most - streamed.length;
  return [...importedPoints(characteristic, imported, limits, imported.count - room, imported.count), ...streamed];
}

export function wireCharacteristic(
  charted: Charted,
  limits: LimitSet | undefined,
  flags: FlagBook,
): WireCharacteristic {
  const { characteristic, station } = charted;
  const latest = newestPoints(charted, limits, 1)[0];
  return {
    id: characteristic.id,
    station: characteristic.station,
    stage: station.stage,
    line: station.line,
    feature: characteristic.feature,
    part: characteristic.part,
    ...(characteristic.plotted === undefined ? {} : { plotted: characteristic.plotted.as }),
    name: characteristic.name,
    quantity: characteristic.quantity,
    reference: characteristic.reference,
    unit: characteristic.unit,
    digits: characteristic.digits,
    runWord: charted.plan.runWord,
    main: characteristic.main,
    chart: characteristic.chart,
    subgroup: runsOfPoint(characteristic),
    waiting: charted.waiting.map(({ run, atMs }) => ({ run, at: instant(atMs) })),
    rules: [...characteristic.rules],
    specification: characteristic.specification,
    limits: limits === undefined ? null : wireLimitSet(limits),
    chance: limits === undefined || untoldRate(limits.diagnostics) !== null ? null : { ...pairPrice(limits) },
    limitsMissing: limits === undefined ? limitsMissing(charted) : null,
    latest: latest === undefined ? null : wirePoint(latest, flags),
    capability: capabilityOf(charted, limits, flags),
    points: { streamed: charted.streamed, imported: charted.imported.count },
    flag: flags.openOn(characteristic.id),
  };
}

export function limitsMissing({ characteristic, imported, recent }: Charted): Refusal {
  // A handful more or less does not matter here: the command that proposes limits counts for itself.
  const has = imported.count + recent.filter(({ location }) => location.value !== null).length;
  const counts = { needs: LEAST_VALUES, has };
  if (has < LEAST_VALUES) {
    return {
      code: "too-few",
      detail: `${has} of ${LEAST_VALUES} ${pointsWord(characteristic)} for trial limits`,
      ...counts,
    };
  }
  return { code: "no-limits", detail: "enough points are there, but no limits have been put in force", ...counts };
}

function pointsWord({ subgroup }: Charted["characteristic"]): string {
  return subgroup === undefined ? "points" : `subgroups of ${subgroup.runs}`;
}
