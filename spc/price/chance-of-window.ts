import { normalCdf } from "../library/normal.ts";
import type { Rule } from "../rules/rule.ts";
import { LIMIT } from "../rules/rule-chain.ts";

/**
 * Chance of a window: how probable it is, with nothing wrong, that so many points as a rule looks at show its pattern.
 *
 * @shape   a rule as a row; half-width of the limits in sigma
 * @unit    dimensionless, 0 to 1
 * @method  independent normal values about the centre line: binomial counts for zones, and for steps the share of all
 *          orders that rise, fall (2 / n!) or alternate (2 E_n / n!, E_n the zigzag numbers)
 * @cost    O(points^2)
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory); zigzag numbers: Andre 1879 (from memory)
 * @checked tests/reference/spc/price-rules/run-lengths.test.ts
 */
export function chanceOfWindow(rule: Rule, limit: number = LIMIT): number {
  switch (rule.kind) {
    case "limit":
      return 2 * normalCdf(-limit);
    case "window": {
      const p = normalCdf(-rule.beyond);
      let sum = 0;
      for (let hits = rule.hits; hits <= rule.of; hits += 1) {
        sum += choose(rule.of, hits) * p ** hits * (1 - p) ** (rule.of - hits);
      }
      return 2 * sum;
    }
    case "inside":
      return (1 - 2 * normalCdf(-rule.within)) ** rule.points;
    case "outside": {
      const p = normalCdf(-rule.beyond);
      return (2 * p) ** rule.points - (rule.sides === "both" ? 2 * p ** rule.points : 0);
    }
    case "trend":
      return 2 / factorial(rule.points);
    case "alternating":
      return (2 * zigzag(rule.points)) / factorial(rule.points);
  }
}

function factorial(n: number): number {
  return n < 2 ? 1 : n * factorial(n - 1);
}

function choose(n: number, k: number): number {
  return k === 0 ? 1 : (choose(n - 1, k - 1) * n) / k;
}

/** How many orders of n values go up and down in turn, beginning upwards: the ends of Seidel's triangle. */
function zigzag(n: number): number {
  let row = [1];
  for (let i = 1; i <= n; i += 1) {
    const next = [0];
    for (let k = 1; k <= i; k += 1) next.push(next[k - 1]! + (row[i - k] ?? 0));
    row = next;
  }
  return row.at(-1)!;
}
