import type { Column } from "../model/column.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { chiSquareTail } from "./chi-square-tail.ts";
import { columnAutocorrelations } from "./column-autocorrelation.ts";

/** Whether several autocorrelations together are more than chance gives. */
export interface LjungBox {
  readonly q: number;
  readonly lags: number;
  /** Chance of a q as large where values are independent. */
  readonly p: number;
}

/**
 * Ljung-Box test: whether values depend on those before them, over several lags at once.
 *
 * @shape   a column in time order, a place without a number keeps its place; `lags`, min(10, n/5) unless given;
 *          `fitted`: parameters of the model whose residuals these are, 0 for plain values
 * @unit    dimensionless; p a probability
 * @method  Q = n (n + 2) sum r_k^2 / (n - k), k = 1 .. lags, against chi-square with lags - fitted degrees of freedom;
 *          with places missing, n is the number of values and r_k is scaled as `columnAutocorrelations` says
 * @refuses too-few for fewer than 5 values, or no more than `lags`; zero-variation
 * @throws  RangeError when lags - fitted is no whole number of 1 or more: a defect in the caller
 * @cost    O(n lags)
 * @source  Ljung and Box 1978, Biometrika 65:297-303 (from memory); missing values: derived here
 * @checked tests/reference/spc/stats/series-statistics.test.ts
 */
export function ljungBox(column: Column, lags?: number, fitted = 0): Outcome<LjungBox> {
  const n = present(column);
  if (lags === undefined && n < 5) return refuse("too-few", "too few values for a lag", { needs: 5, has: n });
  const h = lags ?? Math.min(10, Math.floor(n / 5));
  if (!Number.isInteger(h - fitted) || h - fitted < 1 || fitted < 0) {
    throw new RangeError(`Ljung-Box needs more lags than fitted parameters, got ${h} and ${fitted}`);
  }
  const found = columnAutocorrelations(column, h);
  if (!found.ok) return found;
  const q = n * (n + 2) * found.value.r.reduce((sum, r, i) => sum + (r * r) / (n - i - 1), 0);
  return ok({ q, lags: h, p: chiSquareTail(q, h - fitted) });
}

function present({ raw, length }: Column): number {
  if (typeof raw === "number") return Number.isFinite(raw) ? length : 0;
  let count = 0;
  for (let i = 0; i < raw.length; i += 1) if (Number.isFinite(raw[i]!)) count += 1;
  return count;
}
