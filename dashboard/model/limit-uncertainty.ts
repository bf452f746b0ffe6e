import type { WireLimitSet } from "../../api/contract/wire.ts";
import { limitError } from "../../spc/charts/limit-error.ts";

/**
 * How far a limit of the location may be off, either way, by the number of points behind it. Null where the formula has
 * no right: neighbours that depend on each other, and a weighted mean, whose sigma comes from elsewhere.
 */
export function limitUncertainty(limits: WireLimitSet): number | null {
  const { scheme, location, k, baseline, basis, diagnostics } = limits;
  if (scheme?.ewma !== undefined || baseline.n < 2 || diagnostics.cautions.includes("autocorrelated")) return null;
  const half = location.upper - location.centre;
  return limitError({ half, k, points: baseline.n, runs: scheme?.runs ?? 1, basis });
}
