import fc from "fast-check";

/** Numbers of a range, both ends often. */
export function between(from: number, to: number): fc.Arbitrary<number> {
  return fc.oneof(
    { arbitrary: fc.double({ min: from, max: to, noNaN: true }), weight: 8 },
    { arbitrary: fc.constantFrom(from, to), weight: 1 },
  );
}

/** What a broken instrument, a slipped decimal or a defect may send: everything, much of it near plausible borders. */
export const hostile: fc.Arbitrary<number> = fc.oneof(
  fc.double(),
  fc.double({ min: -200, max: 2000, noNaN: true }),
  fc.constantFrom(0, -0, Number.NaN, Infinity, -Infinity, 1e300, -1e300, 1e-300, 5e-324, 1e7 + 0.1),
  fc.constantFrom(0.2, 1, 3.6, 3.8, 4, 16, 20, 20.5, 21, 60, 100, 500, 1013.25, 1100),
);
