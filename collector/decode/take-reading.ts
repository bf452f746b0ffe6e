import type { Quality, Sample } from "../../spc/model/sample.ts";
import { checkTime, type Reading, reject, shown, unknownUnit } from "./read-fields.ts";

/** One reading or event as a foreign format tells it, and where in the message its parts stand. */
export interface Told {
  /** Id of the series that the settings map it to. */
  readonly series: string;
  readonly tMs: number;
  /** Anything else than a finite number, a boolean or null is refused. */
  readonly value: unknown;
  /** UCUM code; undefined where neither message nor settings give one. */
  readonly unit: string | undefined;
  readonly quality: Quality;
  readonly places: { readonly record: string; readonly value: string; readonly time: string; readonly unit: string };
}

/**
 * The checks that every foreign format passes: the series is known and of this source, the time can be true, the value
 * is a finite number, and its unit converts. Adds one sample or one rejection, never both and never neither.
 */
export function takeReading(told: Told, reading: Reading, samples: Sample[]): void {
  const { catalogue, source, rejections } = reading;
  const { series, tMs, value, unit, quality, places } = told;
  const entry = catalogue.find(series);
  if (entry === undefined) {
    reject(rejections, "unknown-series", places.record, `${series} is in no station of the settings`);
    return;
  }
  if (entry.source !== source) {
    reject(rejections, "wrong-source", places.record, `${series} belongs to the source ${entry.source}, not ${source}`);
    return;
  }
  if (entry.kind === "waveform") {
    reject(rejections, "wrong-kind", places.record, `${series} is a waveform, this is a single value`);
    return;
  }
  if (!checkTime(tMs, places.time, reading)) return;
  if (entry.kind === "event") {
    const number = typeof value === "boolean" ? Number(value) : value;
    if (number === null || quality === "bad") {
      reject(rejections, "value-missing", places.value, "an event without a good number tells no state");
    } else if (!isFiniteNumber(number)) {
      reject(rejections, "not-a-number", places.value, `expected a number or true or false, found ${shown(value)}`);
    } else if (unit !== undefined && unit !== entry.unit && typeof value !== "boolean") {
      // A state number is counted, not measured: 50 % of one is another state, or none.
      unknownUnit(entry, unit, places.unit, rejections);
    } else {
      samples.push({ series, tMs, value: number, quality });
    }
    return;
  }
  if (value === null) {
    if (quality === "bad") samples.push({ series, tMs, value: null, quality });
    else reject(rejections, "value-missing", places.value, `null is taken with bad quality only, found ${quality}`);
    return;
  }
  if (!isFiniteNumber(value)) {
    reject(rejections, "not-a-number", places.value, `expected a finite number, found ${shown(value)}`);
    return;
  }
  const canonical = unit === undefined ? undefined : entry.toCanonical(value, unit);
  if (unit === undefined) {
    reject(
      rejections,
      "unknown-unit",
      places.unit,
      `no unit is given, and none is guessed: ${series} is in ${entry.unit}`,
    );
  } else if (canonical === undefined || !Number.isFinite(canonical)) {
    unknownUnit(entry, unit, places.unit, rejections);
  } else {
    samples.push({ series, tMs, value: canonical, quality });
  }
}

function isFiniteNumber(value: unknown): value is number {
  return typeof value === "number" && Number.isFinite(value);
}
