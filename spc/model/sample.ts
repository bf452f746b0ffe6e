/** How far an instrument vouches for its own reading. */
export type Quality = "good" | "uncertain" | "bad";

/** One reading, in the unit its series is configured with. */
export interface Sample {
  /** Series id from the settings, such as `PR-01/pressure`. */
  readonly series: string;
  /** The source's own time: milliseconds since the epoch, UTC. */
  readonly tMs: number;
  /** Finite, or null where the instrument gave no number. Never NaN. */
  readonly value: number | null;
  readonly quality: Quality;
  /** What an event carries beside its number: part, flask, ladle. Readings have none. */
  readonly attributes?: Readonly<Record<string, string>>;
}
