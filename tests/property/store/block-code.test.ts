import fc from "fast-check";
import { expect, test } from "vitest";
import { type BlockRows, decodeBlock, encodeBlock } from "../../../collector/store/embedded/seal/block-code.ts";

const marks = fc.constantFrom(0, 1, 2, 4, 5, 6);
const value = fc.oneof(
  fc.double({ noNaN: true }),
  fc.float({ noNaN: true }),
  fc.integer({ min: -20_000, max: 20_000 }).map((whole) => whole / 100),
  fc.integer({ min: -20_000, max: 20_000 }).map((whole) => Math.fround(whole / 1000)),
  fc.constantFrom(0, -0, 5e-324, -5e-324, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 2 ** 53, 0.1 + 0.2),
  fc.constant(null),
);
/** Blocks are of one kind mostly: a sensor does not change its digits from one reading to the next. */
const values = fc.oneof(
  fc.array(value, { minLength: 1, maxLength: 60 }),
  fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 1, maxLength: 300 }).map((a) => a.map((x) => x / 1000)),
  fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 1 }).map((a) => a.map((x) => Math.fround(x / 100))),
);
const step = fc.oneof(fc.constant(1000), fc.integer({ min: 45, max: 55 }), fc.integer({ min: 1, max: 2 ** 40 }));

const rows: fc.Arbitrary<BlockRows> = values.chain((list) =>
  fc
    .record({
      first: fc.integer({ min: -(2 ** 42), max: 2 ** 42 }),
      steps: fc.array(step, { minLength: list.length, maxLength: list.length }),
      marks: fc.array(marks, { minLength: list.length, maxLength: list.length }),
    })
    .map(({ first, steps, marks: quality }) => {
      let t = first;
      return { times: steps.map((one) => (t += one)), values: list, marks: quality };
    }),
);

test("whatever is sealed comes back bit for bit", () => {
  fc.assert(
    fc.property(rows, (block) => {
      const back = decodeBlock(encodeBlock(block));
      expect(back.times).toEqual(block.times);
      expect(back.marks).toEqual(block.marks);
      expect(back.values.length).toBe(block.values.length);
      back.values.forEach((one, i) => {
        expect(Object.is(one, block.values[i]), `${one} was ${block.values[i]}`).toBe(true);
      });
    }),
    { numRuns: 500 },
  );
});

test("one changed byte anywhere is noticed", () => {
  fc.assert(
    fc.property(rows, fc.nat(), fc.integer({ min: 1, max: 255 }), (block, place, change) => {
      const bytes = encodeBlock(block);
      bytes[place % bytes.length]! ^= change;
      expect(() => decodeBlock(bytes)).toThrow(RangeError);
    }),
  );
});

test("bytes that are no block, or end early, are refused", () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
      expect(() => decodeBlock(bytes)).toThrow(RangeError);
    }),
  );
  const bytes = encodeBlock({ times: [1, 2, 3], values: [1, 2, 3], marks: [0, 0, 0] });
  for (let length = 0; length < bytes.length; length += 1) {
    expect(() => decodeBlock(bytes.subarray(0, length))).toThrow(RangeError);
  }
});
