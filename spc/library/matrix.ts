import { CholeskyDecomposition, EigenvalueDecomposition, inverse, Matrix } from "ml-matrix";

/** A matrix by rows. */
export type Rows = readonly (readonly number[])[];

/** Eigenvalues of a symmetric matrix, ascending. */
export function symmetricEigenvalues(rows: Rows): readonly number[] {
  return new EigenvalueDecomposition(squareOf(rows), { assumeSymmetric: true }).realEigenvalues.toSorted(
    (a, b) => a - b,
  );
}

/**
 * Lower triangular W with W A W' = I for a symmetric A, so that x' A^-1 x is the squared length of W x; null where A is
 * not positive definite.
 */
export function whitening(rows: Rows): Rows | null {
  const factor = new CholeskyDecomposition(squareOf(rows));
  return factor.isPositiveDefinite() ? inverse(factor.lowerTriangularMatrix).to2DArray() : null;
}

/** Determinant of a symmetric matrix; 0 where it is not positive definite. */
export function positiveDeterminant(rows: Rows): number {
  const factor = new CholeskyDecomposition(squareOf(rows));
  if (!factor.isPositiveDefinite()) return 0;
  return factor.lowerTriangularMatrix.diagonal().reduce((product, pivot) => product * pivot * pivot, 1);
}

/** The lower triangle speaks for both: rounding must not make a symmetric matrix an unsymmetric one. */
function squareOf(rows: Rows): Matrix {
  if (rows.length === 0 || rows.some((row) => row.length !== rows.length || !row.every(Number.isFinite)))
    throw new RangeError(`a square matrix of finite numbers is needed, got ${rows.length} rows`);
  return new Matrix(rows.map((row, i) => row.map((value, j) => (j <= i ? value : rows[j]![i]!))));
}
