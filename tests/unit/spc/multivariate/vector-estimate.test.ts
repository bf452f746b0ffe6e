import { expect, test } from "vitest";
import { standardiser } from "../../../../spc/drawn/vector-distance.ts";
import { estimateVectors } from "../../../../spc/drawn/vector-estimate.ts";
import { positiveDeterminant, symmetricEigenvalues, whitening } from "../../../../spc/library/matrix.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singleVectors, vectorSubgroups } from "../../../../spc/model/vectors.ts";
import { normals } from "../../../property/spc/seeded.ts";

const design = (n: number) => usualDesign({ from: 0, to: n });
const next = normals(4);
const cloud = Array.from({ length: 30 }, () => {
  const [a, b, c] = [next(), next(), next()];
  return [a, 0.6 * a + b, 5 + 1e-3 * c];
});
const refusal = (found: ReturnType<typeof estimateVectors>): string => (found.ok ? "none" : found.refusal.code);

test("single vectors: covariance with n - 1, by hand", () => {
  const found = estimateVectors(
    singleVectors(2, [
      [1, 2],
      [2, 1],
      [4, 5],
      [5, 4],
    ]),
    design(4),
  );
  if (!found.ok) throw new Error(found.refusal.detail);
  const { mean, deviations, correlation, df, estimator } = found.value;
  expect(mean).toEqual([3, 3]);
  expect(deviations).toEqual([Math.sqrt(10 / 3), Math.sqrt(10 / 3)].map((d) => expect.closeTo(d, 12)));
  expect(correlation[1]![0]).toBeCloseTo(0.8, 12);
  expect([df, estimator]).toEqual([3, "overall"]);
});

test("successive differences bridge no gap and no missing vector", () => {
  const vectors = singleVectors(1, [[0], [1], [null], [50], [52], [90], [93]]);
  const found = estimateVectors({ ...vectors, anew: [5] }, design(7), "successive");
  if (!found.ok) throw new Error(found.refusal.detail);
  // (1 + 4 + 9) / (2 * 3).
  expect(found.value.deviations[0]).toBeCloseTo(Math.sqrt(14 / 6), 12);
  expect(found.value.estimator).toBe("successive-differences");
  expect(vectors.incomplete).toBe(1);
});

test("whitening undoes a covariance", () => {
  const matrix = [
    [4, 2, 0.5],
    [2, 3, 1],
    [0.5, 1, 2],
  ];
  const white = whitening(matrix)!;
  const product = white.map((row) =>
    white.map((other) =>
      row.reduce((sum, a, i) => sum + other.reduce((inner, b, j) => inner + a * matrix[i]![j]! * b, 0), 0),
    ),
  );
  product.forEach((row, i) => {
    row.forEach((value, j) => {
      expect(value).toBeCloseTo(i === j ? 1 : 0, 12);
    });
  });
  expect(
    whitening([
      [1, 2],
      [2, 1],
    ]),
  ).toBeNull();
  expect(positiveDeterminant(matrix)).toBeCloseTo(13.25, 10);
  expect(
    positiveDeterminant([
      [1, 1],
      [1, 1],
    ]),
  ).toBe(0);
  expect(
    symmetricEigenvalues([
      [2, 1],
      [1, 2],
    ]),
  ).toEqual([expect.closeTo(1, 12), expect.closeTo(3, 12)]);
  expect(() =>
    whitening([
      [1, Number.NaN],
      [2, 1],
    ]),
  ).toThrow(RangeError);
  expect(() => whitening([[1, 2]])).toThrow(RangeError);
});

test("what has no covariance is refused", () => {
  expect(refusal(estimateVectors(singleVectors(3, cloud), design(30)))).toBe("none");
  expect(refusal(estimateVectors(singleVectors(3, cloud), design(4)))).toBe("too-few");
  expect(refusal(estimateVectors(singleVectors(3, []), design(0)))).toBe("too-few");
  expect(refusal(estimateVectors(vectorSubgroups(3, [cloud]), design(1)))).toBe("too-few");
  const copied = cloud.map(([a, b]) => [a!, b!, 2 * a! - b!]);
  expect(refusal(estimateVectors(singleVectors(3, copied), design(30)))).toBe("collinear");
  const nearly = cloud.map(([a, b], i) => [a!, b!, 2 * a! - b! + 1e-5 * (i % 3)]);
  expect(refusal(estimateVectors(singleVectors(3, nearly), design(30)))).toBe("collinear");
  const still = cloud.map(([a, b]) => [a!, b!, 1e7 + 0.1]);
  expect(refusal(estimateVectors(singleVectors(3, still), design(30)))).toBe("zero-variation");
  const far = cloud.map(([a, b], i) => [a!, b!, i === 0 ? 1.7e308 : -1.7e308]);
  expect(refusal(estimateVectors(singleVectors(3, far), design(30)))).toBe("not-finite");
  const given = { ...design(30), centre: 1 };
  expect(refusal(estimateVectors(singleVectors(3, cloud), given))).toBe("vector-parameters");
  const pairs = vectorSubgroups(
    3,
    Array.from({ length: 15 }, (_, i) => cloud.slice(2 * i, 2 * i + 2)),
  );
  expect(refusal(estimateVectors(pairs, { ...design(15), basis: "overall" }))).toBe("no-exact-limits");
  expect(refusal(estimateVectors(pairs, design(15)))).toBe("none");
});

test("what is no vector or no covariance is a defect", () => {
  expect(() => singleVectors(2, [[1, 2, 3]])).toThrow(RangeError);
  expect(() => estimateVectors(singleVectors(2, [[1, Number.NaN]]), design(1))).toThrow(RangeError);
  expect(() => estimateVectors(singleVectors(3, cloud), design(31))).toThrow(RangeError);
  const known =
    (covariance: number[][], mean = [0, 0]) =>
    () =>
      estimateVectors(singleVectors(2, []), design(0), "ordinary", { mean, covariance });
  expect(
    known([
      [1, 0],
      [0, 0],
    ]),
  ).toThrow(RangeError);
  expect(
    known([
      [1, 0.5],
      [0.2, 1],
    ]),
  ).toThrow(RangeError);
  expect(known([[1]])).toThrow(RangeError);
  expect(
    known(
      [
        [1, 0],
        [0, 1],
      ],
      [0],
    ),
  ).toThrow(RangeError);
  expect(
    refusal(
      known([
        [1, 2],
        [2, 1],
      ])(),
    ),
  ).toBe("collinear");
});

test("a place so far away that squares overflow lies at a distance that is still a number", () => {
  const far = [...cloud, [1.7e308, -1.7e308, 0]];
  const data = singleVectors(3, far);
  const found = estimateVectors(data, design(30));
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(standardiser(data, found.value)(30)!.every(Number.isFinite)).toBe(true);
});
