import { expect, test } from "vitest";
import { dropoutIn } from "../../../../spc/health/dropout.ts";
import { spikesIn } from "../../../../spc/health/spikes.ts";
import { type ZeroPlan, zeroAt } from "../../../../spc/health/zero.ts";
import { readingsOf, same } from "./readings.ts";

const plan = { span: 3.5, noise: 0.006, everyMs: 50, unit: "bar" };

/** A quiet trace with spikes of this height at these places. */
function trace(spikes: readonly number[], height: number): readonly number[] {
  return Array.from({ length: 200 }, (_, i) => 0.9 + 0.001 * (i % 3) + (spikes.includes(i) ? height : 0));
}

test("three spikes in a run are a loose contact, two are not", () => {
  const three = spikesIn(readingsOf(trace([20, 80, 150], 0.4), 50), plan);
  expect(three).toMatchObject({ check: "spikes", verdict: "fault" });
  expect(three?.says).toMatch(/^3 of 200 readings left both neighbours by up to 0\.40\d* bar$/);
  expect(spikesIn(readingsOf(trace([20, 80], 0.4), 50), plan)?.verdict).toBe("well");
});

test("downward spikes count, small ones do not", () => {
  expect(spikesIn(readingsOf(trace([20, 80, 150], -0.4), 50), plan)?.verdict).toBe("fault");
  expect(spikesIn(readingsOf(trace([20, 80, 150], 0.1), 50), plan)?.verdict).toBe("well");
});

test("steps, ramps and the neighbours of a hole are no spikes", () => {
  const steps = Array.from({ length: 200 }, (_, i) => (Math.floor(i / 20) % 2 === 0 ? 0 : 2));
  expect(spikesIn(readingsOf(steps, 50), plan)).toMatchObject({ verdict: "well", says: "no spike in 200 readings" });
  const ramp = Array.from({ length: 200 }, (_, i) => i * 0.5);
  expect(spikesIn(readingsOf(ramp, 50), plan)?.verdict).toBe("well");
  const holed = readingsOf(trace([20, 80, 150], 0.4), 50).map((one, i) => ({ ...one, tMs: one.tMs + 500 * i }));
  expect(spikesIn(holed, plan)?.verdict).toBe("well");
});

const zero: ZeroPlan = { is: 0, within: 0.016, noise: 0.006, where: "at the end of eject", unit: "bar" };

test("off its zero by more than is allowed and than noise explains is the instrument's own error", () => {
  expect(zeroAt(readingsOf(same(0.03, 40)), zero)).toEqual({
    check: "zero",
    verdict: "fault",
    says: "read 0.03 bar at the end of eject over 40 readings, where it must read 0 bar: off by 0.03 bar, 0.016 bar is allowed",
  });
  expect(zeroAt(readingsOf(same(-0.03, 40)), zero)?.verdict).toBe("fault");
  expect(zeroAt(readingsOf(same(0.017, 40)), zero)?.verdict).toBe("well");
});

test("few readings leave more to noise, and none say nothing", () => {
  expect(zeroAt(readingsOf(same(0.022, 5)), zero)?.verdict).toBe("well");
  expect(zeroAt(readingsOf(same(0.022, 40)), zero)?.verdict).toBe("fault");
  expect(zeroAt(readingsOf(same(0.022, 4)), zero)).toBeNull();
});

/** 100 readings a second without those of these places. */
function without(holes: readonly (readonly [number, number])[]) {
  return readingsOf(same(1, 100)).filter(({ tMs }) => !holes.some(([from, to]) => tMs >= from && tMs < to));
}
const run = { fromMs: 0, toMs: 100_000, everyMs: 1_000 };
const three = [
  [10_000, 16_000],
  [40_000, 46_000],
  [70_000, 76_000],
] as const;

test("holes of its own are its own", () => {
  const finding = dropoutIn({ ...run, readings: without(three), others: without([]) });
  expect(finding).toEqual({
    check: "dropout",
    verdict: "fault",
    says: "3 holes in 82 readings, the longest 7 s; its neighbours spoke in 3 of them",
  });
});

test("holes that the others have too are the gateway's, and without others nobody knows", () => {
  expect(dropoutIn({ ...run, readings: without(three), others: without(three) })?.verdict).toBe("well");
  expect(dropoutIn({ ...run, readings: without(three), others: [] })?.verdict).toBe("undecided");
});

test("two holes, or readings lost one by one, are none", () => {
  expect(dropoutIn({ ...run, readings: without(three.slice(1)), others: without([]) })?.verdict).toBe("well");
  const sparse = readingsOf(same(1, 100)).filter((_, i) => i % 3 !== 0);
  expect(dropoutIn({ ...run, readings: sparse, others: without([]) })?.verdict).toBe("well");
});
