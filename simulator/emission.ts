/** What a station gives in a stretch of time, before it is packed into messages. */
export type Emission = Values | Happening | Waveform;

/** Evenly spaced readings of one series. */
export interface Values {
  readonly kind: "values";
  readonly series: string;
  readonly unit: string;
  readonly tMs: number;
  readonly everyMs: number;
  /** Null where the instrument is broken: it says so, and gives no number. */
  readonly values: readonly (number | null)[];
  /** Digits after the point that the transmitter sends. */
  readonly digits: number;
}

export interface Happening {
  readonly kind: "event";
  readonly series: string;
  readonly tMs: number;
  readonly value: number;
  readonly attributes: Readonly<Record<string, string>>;
}

/** One second of three axes; known only when the second is over. */
export interface Waveform {
  readonly kind: "waveform";
  readonly tMs: number;
  readonly rateHz: number;
  readonly unit: string;
  readonly scale: number;
  readonly axes: Readonly<Record<string, Int16Array>>;
}

/** A station: everything it measures in fromMs <= t < toMs, the same however the time is cut. */
export interface Station {
  readonly id: string;
  emissions(fromMs: number, toMs: number): Emission[];
}

/** Readings that stand at `startMs`, `startMs + everyMs`, ... */
export interface Track {
  readonly series: string;
  readonly unit: string;
  readonly startMs: number;
  readonly everyMs: number;
  readonly values: ArrayLike<number>;
  /** Digits after the point that the transmitter sends. */
  readonly digits: number;
}

/** The part of a track in fromMs <= t < toMs, as the transmitter sends it; nothing if there is none. */
export function cut(track: Track, fromMs: number, toMs: number): Values[] {
  const { series, unit, startMs, everyMs, values, digits } = track;
  const first = Math.max(0, Math.ceil((fromMs - startMs) / everyMs));
  const end = Math.min(values.length, Math.ceil((toMs - startMs) / everyMs));
  if (first >= end) return [];
  const steps = 10 ** digits;
  const cutValues: number[] = [];
  for (let i = first; i < end; i += 1) cutValues.push(Math.round((values[i] as number) * steps) / steps);
  return [{ kind: "values", series, unit, tMs: startMs + first * everyMs, everyMs, values: cutValues, digits }];
}

/** Keeps the last few results by number: windows come in time order, so the same cycle is asked for again and again. */
export function remembering<T>(make: (number: number) => T, keep = 3): (number: number) => T {
  const made = new Map<number, T>();
  return (number) => {
    const known = made.get(number);
    if (known !== undefined) return known;
    const fresh = make(number);
    made.set(number, fresh);
    if (made.size > keep) made.delete(made.keys().next().value as number);
    return fresh;
  };
}
