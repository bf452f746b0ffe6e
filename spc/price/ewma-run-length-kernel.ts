import { normalDensity } from "../library/normal.ts";
import type { Quadrature } from "./integral-equation.ts";

/**
 * Kernel of an EWMA: how likely one point takes it from one level to the next.
 *
 * @shape   lambda; the shift in sigma of the plotted average; then levels before and after
 * @unit    one over sigma of the plotted average
 * @cost    O(1)
 * @source  Crowder 1987, Technometrics 29:401-407 (from memory)
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function ewmaKernel(lambda: number, shift: number): (from: number, to: number) => number {
  return (from, to) => normalDensity((to - (1 - lambda) * from) / lambda - shift) / lambda;
}

/**
 * Nodes for limits of an EWMA: 40 give six digits, and more are needed where the limits are wide beside one step.
 *
 * @shape   lambda; half the distance of the limits, in sigma of the plotted average
 * @unit    dimensionless, a count
 * @source  derived here, by comparing counts
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function nodeCount(lambda: number, limit: number): number {
  return Math.max(48, Math.min(600, Math.ceil(24 + (5 * limit) / lambda)));
}

/**
 * Integral by quadrature.
 *
 * @shape   a quadrature; the function at a node, with the node's place
 * @unit    that of the function times that of the nodes
 * @cost    O(nodes)
 * @source  textbook method, from memory
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function integral({ nodes, weights }: Quadrature, term: (node: number, place: number) => number): number {
  let total = 0;
  for (let j = 0; j < nodes.length; j += 1) total += weights[j]! * term(nodes[j]!, j);
  return total;
}
