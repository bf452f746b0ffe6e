import fc from "fast-check";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import { incoming, places } from "../../contract/store/incoming.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

let folder: ReturnType<typeof temporaryFolder>;
let store: SampleStore;
beforeAll(() => {
  folder = temporaryFolder();
  store = openSampleStore(folder.path, places);
});
afterAll(() => {
  store.close();
  folder.remove();
});

/** What becomes of each number of a counter on its way: lost, doubled, or as many places late. */
const fates = fc.array(
  fc.record({ lost: fc.boolean(), twice: fc.boolean(), late: fc.oneof(fc.constant(0), fc.nat(8)) }),
  { minLength: 1, maxLength: 120 },
);

let sources = 0;
/** What a fresh source's gaps come to when these numbers arrive in this order. */
function gapsOf(numbers: readonly number[], wraps: number | null, groups: number): number | undefined {
  sources += 1;
  const source = `S-${sources}`;
  const messages = numbers.map((number) =>
    wraps === null
      ? incoming([], { source, sequence: number })
      : incoming([], { source, counted: [{ stream: "E", number: number % wraps, wraps }] }),
  );
  for (let at = 0; at < messages.length; at += groups) store.commit(messages.slice(at, at + groups));
  return store.sequenceGaps().get(source);
}

test.each([null, 256, 2 ** 32])("exactly the numbers that never came are missing, wrapping at %s", (wraps) => {
  fc.assert(
    fc.property(fates, fc.nat(300), fc.integer({ min: 1, max: 20 }), (told, first, groups) => {
      const sent = told.flatMap(({ lost, twice, late }, i) => {
        // The first one tells where the counter stands, so it is neither lost nor overtaken.
        if (i > 0 && lost) return [];
        const one = { number: first + i, place: i === 0 ? -1 : i + late };
        return twice ? [one, one] : [one];
      });
      const arrived = [...sent].sort((a, b) => a.place - b.place).map(({ number }) => number);
      const last = Math.max(...arrived);
      expect(gapsOf(arrived, wraps, groups)).toBe(last - first + 1 - new Set(arrived).size);
    }),
    { numRuns: 300 },
  );
});
