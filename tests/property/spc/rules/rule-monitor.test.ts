import fc from "fast-check";
import { expect, test } from "vitest";
import { chartPoint } from "../../../../spc/charts/chart-point.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { rules, ruleVariants } from "../../../../spc/rules/rule.ts";
import type { RulePoint } from "../../../../spc/rules/rule-monitor.ts";
import { ruleMonitor } from "../../../../spc/rules/rule-monitor.ts";

const limits = { centre: 0, sigma: 1, lower: -3, upper: 3 };
const monitor = () => ruleMonitor([...rules, ...ruleVariants], limits, { everyMs: 10 });

const step = fc.record({
  value: fc.oneof(
    { weight: 6, arbitrary: fc.integer({ min: -7, max: 7 }).map((half) => half / 2) },
    { weight: 3, arbitrary: fc.double({ min: -0.9, max: 1.9, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(null, 1e300, -1e300, Number.NaN, Number.POSITIVE_INFINITY) },
  ),
  pause: fc.constantFrom(10, 10, 10, 10, 12, 20, 45),
  corrected: fc.constantFrom(false, false, false, false, false, false, true),
});

function pointsOf(steps: readonly { value: number | null; pause: number; corrected: boolean }[]): RulePoint[] {
  let atMs = 0;
  return steps.map(({ value, pause, corrected }, i) => {
    atMs += pause;
    return { run: `r${i}`, atMs, corrected, point: chartPoint({ subgroup: i, atMs, value }, value, limits) };
  });
}

test("cut anywhere and taken up again from a checkpoint in JSON, the hits are the same", () => {
  fc.assert(
    fc.property(fc.array(step, { maxLength: 80 }), fc.nat(80), (steps, cut) => {
      const points = pointsOf(steps);
      const whole = advance(monitor(), points);
      const first = advance(monitor(), points.slice(0, cut));
      const kept = JSON.parse(JSON.stringify(first.state)) as typeof first.state;
      const second = advance(monitor(), points.slice(cut), kept);
      expect([...first.out, ...second.out]).toEqual(whole.out);
      expect(second.state).toEqual(whole.state);
    }),
  );
});

test("no hit names a point without a value, each ends at its own point, and its line is a number", () => {
  fc.assert(
    fc.property(fc.array(step, { maxLength: 80 }), (steps) => {
      const points = pointsOf(steps);
      const valued = new Set(points.filter(({ point }) => point.value !== null).map(({ run }) => run));
      let state = monitor().initial;
      for (const point of points) {
        const next = monitor().step(state, point);
        state = next.state;
        for (const { members, line } of next.out) {
          expect(members.at(-1)).toBe(point.run);
          expect(members.every((run) => valued.has(run))).toBe(true);
          expect(Number.isFinite(line)).toBe(true);
        }
      }
    }),
  );
});
