import { runsOfPoint } from "../../spc/model/characteristic.ts";
import type { PointRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { WireFloor, WireFloorCharacteristic, WireStrip } from "../contract/wire.ts";
import type { Charted } from "./charted.ts";
import type { FlagBook } from "./flag-book.ts";
import { limitsMissing, newestPoints } from "./wire-characteristic.ts";
import { instant } from "./wire-form.ts";

/**
 * What the Floor shows of a chart. Hundreds of them go into one answer, and while a backlog comes in none stays as it was:
 * so capability, price and all of a point that no strip draws are left to the pages that show them.
 */
export function onFloor(
  charted: Charted,
  limits: LimitSet | undefined,
  flags: FlagBook,
  most: number,
): WireFloor["characteristics"][number] {
  const points = newestPoints(charted, limits, Math.max(1, most));
  return {
    characteristic: head(charted, limits, points.at(-1)),
    strip: strip(most === 0 ? [] : points, flags),
  };
}

function head(
  charted: Charted,
  limits: LimitSet | undefined,
  latest: PointRecord | undefined,
): WireFloorCharacteristic {
  const { characteristic: one, plan, waiting } = charted;
  return {
    ...{ id: one.id, station: one.station, feature: one.feature, part: one.part, name: one.name },
    ...(one.plotted === undefined ? {} : { plotted: one.plotted.as }),
    ...{ quantity: one.quantity, reference: one.reference, unit: one.unit, digits: one.digits },
    ...{ runWord: plan.runWord, main: one.main, chart: one.chart, subgroup: runsOfPoint(one) },
    waiting: waiting.map(({ run, atMs }) => ({ run, at: instant(atMs) })),
    specification: one.specification,
    limits: limits === undefined ? null : { id: limits.id, location: limits.location, spread: limits.spread },
    limitsMissing: limits === undefined ? limitsMissing(charted) : null,
    latest: latest === undefined ? null : { at: instant(latest.atMs), location: { value: latest.location.value } },
  };
}

function strip(points: readonly PointRecord[], flags: FlagBook): WireStrip {
  const places = points.map((_, place) => place);
  return {
    run: points.map(({ run }) => run),
    subgroup: points.map(({ subgroup }) => subgroup),
    atMs: points.map(({ atMs }) => atMs),
    value: points.map(({ location }) => location.value),
    imported: points.filter(({ imported }) => imported).length,
    withoutSpread: places.filter((place) => points[place]!.spread.value === null),
    signalled: places.flatMap((place) => {
      const { signals } = points[place]!;
      return signals.length === 0 ? [] : [{ place, signals: [...signals], flag: flags.ofSignals(signals) }];
    }),
  };
}
