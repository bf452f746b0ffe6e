/** What an instrument is asked, each question in a file of its own. */
export type HealthCheck =
  | "stuck"
  | "clipped"
  | "open-circuit"
  | "loop-fault"
  | "no-value"
  | "short-circuit"
  | "spikes"
  | "dropout"
  | "zero"
  | "peer-drift"
  | "slow-probe"
  | "below-least"
  | "repeated";

/**
 * `fault`: the instrument or its wiring. `undecided`: what is seen may as well be the process, and nothing at hand tells
 * them apart. `well`: the check looked and found nothing.
 */
export type HealthVerdict = "fault" | "undecided" | "well";

/** What one check saw, with the numbers that it rests on. */
export interface HealthFinding {
  readonly check: HealthCheck;
  readonly verdict: HealthVerdict;
  /** One sentence. */
  readonly says: string;
}
