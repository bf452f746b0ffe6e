/** Nodes and weights of a quadrature over an interval. */
export interface Quadrature {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

const known = new Map<number, Quadrature>();

/**
 * Gauss-Legendre: where to ask a smooth function, and with which weights to add up the answers.
 *
 * @shape   n: how many nodes, one or more; the ends of the interval
 * @unit    nodes in the unit of the ends, weights likewise
 * @method  roots of the Legendre polynomial by Newton from cos(pi (i + 3/4) / (n + 1/2)), on -1 to 1, then stretched; exact
 *          for polynomials of degree 2 n - 1
 * @throws  RangeError for a count that is not whole, or ends that are not in order: a defect in the caller
 * @cost    O(n^2) once for each n, O(n) after that
 * @source  textbook method, from memory
 * @checked tests/unit/spc/price-continuous/integral-equation.test.ts
 */
export function gaussLegendre(n: number, from: number, to: number): Quadrature {
  if (!Number.isInteger(n) || n < 1) throw new RangeError(`a quadrature needs one or more nodes, got ${n}`);
  if (!(Number.isFinite(from) && Number.isFinite(to) && from <= to))
    throw new RangeError(`a quadrature needs ends in order, got ${from} and ${to}`);
  const unit = known.get(n) ?? unitNodes(n);
  known.set(n, unit);
  const half = (to - from) / 2;
  const middle = (from + to) / 2;
  return {
    nodes: unit.nodes.map((node) => middle + half * node),
    weights: unit.weights.map((weight) => half * weight),
  };
}

function unitNodes(n: number): Quadrature {
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  for (let i = 0; i < n; i += 1) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    // Newton doubles the digits each time: from three digits, five rounds are more than double precision holds.
    for (let round = 0; round < 6; round += 1) {
      let before = 0;
      let value = 1;
      for (let degree = 1; degree <= n; degree += 1) {
        const next = ((2 * degree - 1) * x * value - (degree - 1) * before) / degree;
        before = value;
        value = next;
      }
      slope = (n * (x * value - before)) / (x * x - 1);
      x -= value / slope;
    }
    nodes[n - 1 - i] = x;
    weights[n - 1 - i] = 2 / ((1 - x * x) * slope * slope);
  }
  return { nodes, weights };
}

/**
 * Nystrom: the function f with f(x) = g(x) + integral of K(x, y) f(y) dy, at the nodes of a quadrature.
 *
 * @shape   a quadrature and the kernel K(from, to); gives what takes g at the nodes, a copy of which becomes f
 * @unit    that of g
 * @method  the integral becomes a weighted sum over the nodes: (I - K W) f = g, by LU decomposition with partial pivoting,
 *          made once for all g
 * @throws  RangeError when the equation has no single solution
 * @cost    O(m^2) kernels and O(m^3) arithmetic for m nodes, about a millisecond for 60; O(m^2) for each g
 * @source  Crowder 1987, Technometrics 29:401-407 (from memory)
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function fredholm(
  { nodes, weights }: Quadrature,
  kernel: (from: number, to: number) => number,
): (right: Float64Array) => Float64Array {
  const n = nodes.length;
  const rows: Float64Array[] = [];
  for (let i = 0; i < n; i += 1) {
    const row = new Float64Array(n);
    const from = nodes[i]!;
    for (let j = 0; j < n; j += 1) row[j] = (i === j ? 1 : 0) - weights[j]! * kernel(from, nodes[j]!);
    rows.push(row);
  }
  const order = decompose(rows);
  return (right) => substitute(rows, order, right);
}

/** Leaves both triangles in the rows, and gives the order in which they now stand. */
function decompose(rows: Float64Array[]): Uint32Array {
  const n = rows.length;
  const order = Uint32Array.from(rows, (_, i) => i);
  for (let column = 0; column < n; column += 1) {
    let pivot = column;
    for (let row = column + 1; row < n; row += 1) {
      if (Math.abs(rows[row]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = row;
    }
    const top = rows[pivot]!;
    if (!(Math.abs(top[column]!) > 0)) throw new RangeError("the integral equation has no single solution");
    rows[pivot] = rows[column]!;
    rows[column] = top;
    [order[pivot], order[column]] = [order[column]!, order[pivot]!];
    for (let row = column + 1; row < n; row += 1) {
      const below = rows[row]!;
      const factor = below[column]! / top[column]!;
      below[column] = factor;
      if (factor === 0) continue;
      for (let i = column + 1; i < n; i += 1) below[i]! -= factor * top[i]!;
    }
  }
  return order;
}

function substitute(rows: readonly Float64Array[], order: Uint32Array, right: Float64Array): Float64Array {
  const n = rows.length;
  const x = new Float64Array(n);
  for (let i = 0; i < n; i += 1) {
    const row = rows[i]!;
    let sum = right[order[i]!]!;
    for (let j = 0; j < i; j += 1) sum -= row[j]! * x[j]!;
    x[i] = sum;
  }
  for (let i = n - 1; i >= 0; i -= 1) {
    const row = rows[i]!;
    let sum = x[i]!;
    for (let j = i + 1; j < n; j += 1) sum -= row[j]! * x[j]!;
    x[i] = sum / row[i]!;
  }
  return x;
}
