/**
 * Solve: x in A x = b.
 *
 * @shape   a square matrix by rows and as many right-hand sides; both are left as they were
 * @unit    that of b over that of A
 * @method  Gaussian elimination with partial pivoting
 * @throws  RangeError when the matrix is singular: a defect in the caller
 * @cost    O(n^3)
 * @source  textbook algorithm, no source
 * @checked tests/unit/spc/rules/solve.test.ts
 */
export function solve(matrix: readonly (readonly number[])[], right: readonly number[]): readonly number[] {
  const n = right.length;
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  for (let column = 0; column < n; column += 1) {
    let pivot = column;
    for (let row = column + 1; row < n; row += 1) {
      if (Math.abs(rows[row]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = row;
    }
    const top = rows[pivot]!;
    rows[pivot] = rows[column]!;
    rows[column] = top;
    if (!(Math.abs(top[column]!) > 0)) throw new RangeError(`a singular matrix of ${n} rows has no solution`);
    for (let row = column + 1; row < n; row += 1) {
      const below = rows[row]!;
      const factor = below[column]! / top[column]!;
      if (factor === 0) continue;
      for (let i = column; i <= n; i += 1) below[i]! -= factor * top[i]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let row = n - 1; row >= 0; row -= 1) {
    let sum = rows[row]![n]!;
    for (let i = row + 1; i < n; i += 1) sum -= rows[row]![i]! * x[i]!;
    x[row] = sum / rows[row]![row]!;
  }
  return x;
}
