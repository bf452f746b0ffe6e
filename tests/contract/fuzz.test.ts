import { expect, test } from "vitest";
import { fuzz, fuzzHeld } from "../soak/fuzz.ts";

/** `npm run -s soak -- fuzz --messages 1000000 --json` does more. */
test("good, damaged and hostile messages of every format are stored, there already, or quarantined: none is lost", {
  timeout: 120_000,
}, async () => {
  const result = await fuzz(1_500, 11);
  expect(result).toMatchObject({
    ...{ messages: 1_500, acknowledged: 1_500, unaccounted: 0, otherwise: 0, withoutCode: 0, crashed: false },
  });
  expect(fuzzHeld(result)).toBe(true);
  // Each of the three ways was gone, and many codes were given: a stream that is refused whole would hold as well.
  expect(Math.min(result.stored, result.duplicate, result.quarantined)).toBeGreaterThan(50);
  expect(Object.keys(result.codes).length).toBeGreaterThan(20);
});
