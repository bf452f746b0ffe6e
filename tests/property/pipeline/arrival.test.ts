import fc from "fast-check";
import { expect, test } from "vitest";
import type { RawMessage } from "../../../collector/source/message-source.ts";
import { plant } from "../../../simulator/plant.ts";
import { sources } from "../../../simulator/plant-layout.ts";
import { found } from "../../contract/pipeline/collector-rig.ts";
import { payloadsOf, playedPlant } from "../../played-plant.ts";
import { uniforms } from "../spc/seeded.ts";

// Every station of the plant at once, so every way of cutting and every feature in use. What one of them would do with
// readings out of order is no question: the store puts them in order, as long as they come inside the lateness window.

const firstMs = Date.UTC(2026, 10, 24, 5);
const minutes = 8;
const minuteMs = 60_000;
const stepMs = 1_000;
/** With the length of a message less than the demo's lateness of 5 s. */
const longestDelayMs = 3_500;

/** What the journal holds after these messages, in the order in which they come. */
async function journalOf(raw: readonly RawMessage[]): Promise<ReturnType<typeof found>> {
  const played = playedPlant(firstMs);
  try {
    const perMinute = Math.ceil(raw.length / minutes);
    for (let from = 0; from < raw.length; from += perMinute) {
      played.clock.advance(minuteMs);
      await played.takeIn(raw.slice(from, from + perMinute));
      await played.line.drain();
    }
    await played.finish();
    // Without more news the last readings become complete, by our clock.
    for (let second = 0; second < 30; second += 1) {
      played.clock.advance(1_000);
      await played.line.drain();
    }
    return found(played.data.journal.read({}));
  } finally {
    played.close();
  }
}

test("messages that overtake each other inside the lateness window, and come twice, give the same runs and points", async () => {
  const inOrder = payloadsOf(plant({ seed: 7, firstMs }, []), sources, stepMs)(firstMs, firstMs + minutes * minuteMs);
  const expected = await journalOf(inOrder);
  expect(expected["runs"]!.length).toBeGreaterThan(10);
  await fc.assert(
    fc.asyncProperty(fc.integer(), async (seed) => {
      const chance = uniforms(seed);
      const arriving = inOrder.flatMap((one) => {
        const copies = chance() < 0.1 ? 2 : 1;
        return Array.from({ length: copies }, () => ({ one, atMs: one.receivedMs + longestDelayMs * chance() }));
      });
      arriving.sort((a, b) => a.atMs - b.atMs);
      expect(await journalOf(arriving.map(({ one }) => one))).toEqual(expected);
    }),
    // One order is a hundred thousand of them; `EXPLORE=1` draws another.
    { numRuns: 1 },
  );
});
