import type { SiteInstrument, SiteSeries } from "../../collector/platform/settings/site.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import { type Outcome, ok, refuse } from "../../spc/model/outcome.ts";
import { resistanceTolerance } from "../../spc/physics/resistance-thermometer.ts";
import { thermocoupleTolerance } from "../../spc/physics/thermocouple.ts";
import { toleranceShare } from "../../spc/physics/tolerance-share.ts";
import { convert } from "../../spc/units/ucum.ts";
import type { WireInstrument } from "../contract/instrument-wire.ts";

type Share = WireInstrument["shares"][number];

/** How much of a specification's tolerance an instrument eats, or why that cannot be said. */
export function shareOf(series: SiteSeries, characteristic: Characteristic): Share | null {
  const { specification, id, name, part } = characteristic;
  if (series.instrument === null || specification === null) return null;
  const head = { characteristic: id, name, part, unit: specification.unit };
  const none = (why: string): Share => ({ ...head, error: null, share: null, why });
  const { lower, upper, target, unit } = specification;
  // A rise time or a humidity ratio is no reading: how the instrument's error reaches it is the feature's affair.
  if (convert(0, unit, series.unit) === undefined || characteristic.reference === "difference") {
    return none("its feature is not in the instrument's own terms");
  }
  const at = target ?? (lower !== undefined && upper !== undefined ? (lower + upper) / 2 : (lower ?? upper)!);
  const error = errorAt(series.instrument, at, unit, series.unit);
  if (!error.ok) return none(error.refusal.detail);
  if (lower === undefined || upper === undefined) {
    return { ...head, error: error.value, share: null, why: "the specification has one side only" };
  }
  const share = toleranceShare(error.value, lower, upper);
  return share.ok ? { ...head, error: error.value, share: share.value, why: null } : none(share.refusal.detail);
}

/** Half-width of an instrument's error at a value, both in the unit asked for. */
function errorAt(one: SiteInstrument, at: number, unit: string, seriesUnit: string): Outcome<number> {
  const { thermocouple, resistance, error, errorShare } = one;
  if (thermocouple !== undefined || resistance !== undefined) {
    const cel = convert(at, unit, "Cel");
    if (cel === undefined) return refuse("not-finite", "a thermometer's error is told in temperatures");
    const kelvin =
      thermocouple !== undefined
        ? thermocoupleTolerance(thermocouple.type, thermocouple.class, cel)
        : resistanceTolerance(resistance!.class, resistance!.kind, cel);
    return kelvin.ok ? differenceIn(kelvin.value, "K", unit) : kelvin;
  }
  if (errorShare !== undefined) return ok(errorShare * Math.abs(at));
  if (error !== undefined) return differenceIn(error, seriesUnit, unit);
  return refuse("not-finite", "the settings do not say its error");
}

/** A width in another unit: scales that begin elsewhere have the same widths. */
function differenceIn(width: number, from: string, to: string): Outcome<number> {
  const there = convert(width, from, to);
  const zero = convert(0, from, to);
  if (there === undefined || zero === undefined) return refuse("not-finite", `${from} does not turn into ${to}`);
  return ok(Math.abs(there - zero));
}
