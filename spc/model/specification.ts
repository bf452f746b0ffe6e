/** Requirement on the process or product: never a control limit, never computed from one. */
export interface Specification {
  readonly lower?: number;
  readonly upper?: number;
  readonly target?: number;
  readonly unit: string;
  /** Where it comes from: control plan, equipment physics, trial, supplier, habit. */
  readonly origin: string;
}
