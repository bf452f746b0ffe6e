/** Numbers from 0 to 1, the same for the same seed (xorshift, 32 bits). */
export function uniform(seed: number): () => number {
  let state = seed | 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

/** What one kind of sensor gives: its spacing, its step, and how it moves about its mean. */
export interface SensorKind {
  readonly everyMs: number;
  /** Each time is off by up to so much, as where a gateway polls. */
  readonly jitterMs: number;
  readonly digits: number;
  readonly mean: number;
  readonly noise: number;
  readonly drift: number;
}

/**
 * As lively as the series of the store's first trial, whose figures are our targets: with regular times InfluxDB took
 * 7.8, 3.4 and 3.7 bytes a reading there, blocks 0.73, 0.29 and 0.29, and the jitter took 0.29, 0.40 and 0.55 more.
 */
export const sensorKinds = {
  steam: { everyMs: 50, jitterMs: 2, digits: 3, mean: 0.9, noise: 0.015, drift: 0.002 },
  oven: { everyMs: 1_000, jitterMs: 4, digits: 1, mean: 62, noise: 0.12, drift: 0.03 },
  humidity: { everyMs: 30_000, jitterMs: 8, digits: 1, mean: 18, noise: 0.13, drift: 0.05 },
} as const satisfies Readonly<Record<string, SensorKind>>;

/** Times and values of a sensor, ascending: a level that wanders about its mean, noise, and the step of the display. */
export function sensorRows(
  kind: SensorKind,
  seed: number,
  fromMs: number,
  count: number,
): { readonly times: number[]; readonly values: number[]; readonly marks: number[] } {
  const chance = uniform(seed);
  const scale = 10 ** kind.digits;
  const [times, values] = [new Array<number>(count), new Array<number>(count)];
  let level = kind.mean;
  for (let i = 0; i < count; i += 1) {
    level += kind.drift * (chance() - 0.5) + 0.001 * (kind.mean - level);
    times[i] = fromMs + i * kind.everyMs + Math.round(kind.jitterMs * (2 * chance() - 1));
    values[i] = Math.round((level + kind.noise * (chance() + chance() - 1)) * scale) / scale;
  }
  return { times, values, marks: new Array<number>(count).fill(0) };
}
