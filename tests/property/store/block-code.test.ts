import fc from "fast-check";
import { expect, test } from "vitest";
import {
  type BlockRows,
  decodeBlock,
  encodeBlock,
  viewBlock,
} from "../../../collector/store/embedded/seal/block-code.ts";
import { uniform } from "../../bench/plant-series.ts";

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
/** About a schedule, as where a gateway polls. */
const jitter = fc.constantFrom(0, 0, 3, 50, 800);

const rows: fc.Arbitrary<BlockRows> = values.chain((list) =>
  fc
    .record({
      first: fc.integer({ min: -(2 ** 42), max: 2 ** 42 }),
      jitterMs: jitter,
      chances: fc.array(fc.double({ min: -1, max: 1, noNaN: true }), {
        minLength: list.length,
        maxLength: list.length,
      }),
      steps: fc.array(step, { minLength: list.length, maxLength: list.length }),
      marks: fc.array(marks, { minLength: list.length, maxLength: list.length }),
    })
    .map(({ first, steps, jitterMs, chances, marks: quality }) => {
      let t = first;
      const polled = chances.map((chance, i) => first + 30_000 * i + Math.round(jitterMs * chance));
      const times = jitterMs > 0 ? polled : steps.map((one) => (t += one));
      return { times, values: list, marks: quality };
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

test("looked at in place a block holds the same, whichever time is asked for first", () => {
  fc.assert(
    fc.property(rows, (block) => {
      const view = viewBlock(encodeBlock(block));
      expect(view.n).toBe(block.times.length);
      block.times.forEach((_, i) => {
        const fromEnd = view.n - 1 - i;
        expect(view.time(fromEnd)).toBe(block.times[fromEnd]);
        expect(Object.is(view.values[i], block.values[i]), `${view.values[i]} was ${block.values[i]}`).toBe(true);
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
      for (const read of [decodeBlock, viewBlock]) expect(() => read(bytes)).toThrow(RangeError);
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

test("a block of the first version, which packed times whole, reads on", () => {
  const jittered = Buffer.from(
    "011106d00fe8070500020a01000104010001050763e3e5626602000608936362549cc00800f0a20136",
    "hex",
  );
  const times = [1000, 2003, 2996, 4001, 4999, 6000];
  expect(times.map((_, i) => viewBlock(jittered).time(i))).toEqual(times);
  expect(decodeBlock(jittered)).toEqual({
    times,
    values: [1.5, 1.6, null, 1.5, -0.2, 7],
    marks: [0, 0, 2, 0, 4, 0],
  });
  expect(decodeBlock(Buffer.from("01000300e8070100030003056362620200deb2c870", "hex"))).toEqual({
    times: [0, 1000, 2000],
    values: [1, 2, 3],
    marks: [0, 0, 0],
  });
});

test("times that jitter take little more than chance itself asks for", () => {
  const chance = uniform(5);
  const [n, jitterMs] = [4_000, 800];
  const times = Array.from({ length: n }, (_, i) => 30_000 * i + Math.round(jitterMs * (2 * chance() - 1)));
  const bytes = encodeBlock({ times, values: new Array(n).fill(1), marks: new Array(n).fill(0) }).length;
  const least = (n * Math.log2(2 * jitterMs + 1)) / 8;
  expect(bytes).toBeGreaterThan(least);
  expect(bytes).toBeLessThan(1.1 * least);
});
