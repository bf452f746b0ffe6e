import type { InstrumentPlan, StepLevel } from "../../../spc/health/instrument-plan.ts";
import type { Wiring } from "../../../spc/health/no-value.ts";
import type { InstrumentSettings } from "./instrument-schema.ts";
import { durationMs, type StationKind } from "./schema.ts";
import type { SiteInstrument } from "./site.ts";

type SeriesSettings = StationKind["series"][string];

/** What an instrument can be asked with what the settings say of it; null for an event, which is no instrument's. */
export function instrumentPlan(series: SeriesSettings): InstrumentPlan | null {
  if (series.kind === "event") return null;
  const { unit, resolution: step = 0, instrument: one } = series;
  const everyMs = durationMs(series.everyInRun ?? series.every ?? "1 s");
  const noise = one?.noise ?? 0;
  const { range, spread } = one ?? {};
  return {
    wiring: wiringOf(one),
    unit,
    everyMs,
    stuck: one?.noise === undefined ? null : { noise, step, everyMs, unit },
    clipped: range === undefined ? null : { ...range, loop: wiringOf(one) === "loop", step, unit },
    repeated: spread === undefined ? null : { spread, step, unit },
    spikes:
      range === undefined || one?.noise === undefined
        ? null
        : { span: range.upper - range.lower, noise, everyMs, unit },
    zero: zeroOf(one, noise, unit),
    peers: one?.peers === undefined ? null : { ...one.peers, unit },
    slow: slowOf(one),
    least: leastOf(one, noise, unit),
    ambientCel: one?.terminals ?? null,
  };
}

/** What the settings say of an instrument and of its last calibration; null where they say nothing. */
export function siteInstrument(series: SeriesSettings, calibrated: string | undefined): SiteInstrument | null {
  const { instrument: one } = series;
  if (one === undefined) return null;
  const calibrateEveryMs = one.calibrateEvery === undefined ? null : durationMs(one.calibrateEvery);
  return { ...one, calibrated: calibrated ?? null, calibrateEveryMs };
}

function wiringOf(one: InstrumentSettings | undefined): Wiring {
  return one?.wiring ?? (one?.thermocouple === undefined ? "other" : "thermocouple");
}

function zeroOf(one: InstrumentSettings | undefined, noise: number, unit: string): InstrumentPlan["zero"] {
  if (one?.zero === undefined) return null;
  const { segment, of: measure = null, last, is, against = null, within, where } = one.zero;
  return { segment, measure, lastMs: durationMs(last), is, against, within, where, noise, unit };
}

function leastOf(one: InstrumentSettings | undefined, noise: number, unit: string): InstrumentPlan["least"] {
  if (one?.least === undefined) return null;
  const { at: role, last, within, where } = one.least;
  return { role, lastMs: durationMs(last), within, where, noise, unit };
}

function slowOf(one: InstrumentSettings | undefined): InstrumentPlan["slow"] {
  if (one?.slow === undefined) return null;
  const { segment, atMost, witness } = one.slow;
  const seconds = (text: string): number => durationMs(text) / 1000;
  return {
    ...{ segment, to: levelOf(one.slow), atMostSeconds: seconds(atMost) },
    witness:
      witness === undefined
        ? null
        : { role: witness.role, to: levelOf(witness), atMostSeconds: seconds(witness.atMost) },
  };
}

/** Checked: one of the two stands there. */
function levelOf({ to, toAt }: { readonly to?: number | undefined; readonly toAt?: string | undefined }): StepLevel {
  return to ?? { role: toAt as string };
}
