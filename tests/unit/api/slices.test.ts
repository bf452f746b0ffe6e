import { setImmediate } from "node:timers/promises";
import { expect, test } from "vitest";
import { inSlices } from "../../../api/slices.ts";

/** Steps of so many milliseconds each, on a clock of their own. */
function work(steps: number, stepMs: number, clock: { ms: number }) {
  return (function* (): Generator<undefined, string> {
    for (let n = 0; n < steps; n++) {
      clock.ms += stepMs;
      yield;
    }
    return "done";
  })();
}

test("between two slices whoever waits has a turn; a slice is no longer than its bound and one step", async () => {
  const clock = { ms: 0 };
  const turns: number[] = [];
  let over = false;
  const waiting = (async () => {
    while (!over) {
      turns.push(clock.ms);
      await setImmediate();
    }
  })();
  expect(await inSlices(work(100, 4, clock), () => clock.ms)).toBe("done");
  over = true;
  await waiting;
  const waits = turns.slice(1).map((ms, at) => ms - turns[at]!);
  expect(Math.max(...waits)).toBeLessThan(10 + 4 + 1);
  expect(turns.length).toBeGreaterThan(30);
});

test("short work is done at once, and what it throws is thrown", async () => {
  expect(await inSlices(work(2, 1, { ms: 0 }))).toBe("done");
  const broken = (function* (): Generator<undefined, never> {
    yield;
    throw new RangeError("no such run");
  })();
  await expect(inSlices(broken)).rejects.toThrow("no such run");
});
