import { expect, test } from "vitest";
import {
  lagError,
  settlingTime,
  shortfall,
  timeConstantOfStep,
  timeConstantOfT90,
} from "../../../../spc/physics/probe-lag.ts";
import { answerOf, codeOf } from "./outcome.ts";

const answer = (tau: number, from: number, to: number, dead = 0) =>
  Array.from({ length: 200 }, (_, i) => {
    const seconds = i * 0.1 - 1;
    return { seconds, value: to - (to - from) * Math.exp(-Math.max(0, seconds - dead) / tau) };
  });

// Worked out apart from this code for a tip of 1.0 s in metal of 1400 Cel, printed to the kelvin and to 0.5 K.
test.each([
  [3, 70, 0.5],
  [4, 26, 0.5],
  [5, 9, 0.5],
  [6, 3.5, 0.05],
])("after %d s a tip of 1 s is %d K short of 1400 Cel", (seconds, kelvin, room) => {
  expect(Math.abs(answerOf(shortfall(1400, 1, seconds)) - kelvin)).toBeLessThanOrEqual(room);
});

test("after one time constant 36.8 % of a step is missing, after three 5 %", () => {
  expect(answerOf(shortfall(100, 7, 7))).toBeCloseTo(36.788, 3);
  expect(answerOf(shortfall(100, 7, 21))).toBeCloseTo(4.979, 3);
});

test.each([
  [0.7, 20, 1400],
  [1.5, 110, 20],
  [3, -5, 5],
])("a time constant of %d s is found again from a step of %d to %d, dead time or not", (tau, from, to) => {
  expect(answerOf(timeConstantOfStep(answer(tau, from, to), from, to))).toBeCloseTo(tau, 8);
  expect(answerOf(timeConstantOfStep(answer(tau, from, to, 0.5), from, to))).toBeCloseTo(tau, 8);
});

test("a probe of 23 s to 90 % has a time constant of 10 s", () => {
  expect(answerOf(timeConstantOfT90(23.0259))).toBeCloseTo(10, 4);
});

test("a lag of 1.5 s in steam that heats by 4 K/s reads 6 K too cold, as the equation itself does when stepped through", () => {
  expect(answerOf(lagError(1.5, 4))).toBe(6);
  let reading = 0;
  const step = 1e-3;
  for (let i = 0; i < 20_000; i += 1) reading += (step / 1.5) * (4 * (i * step) - reading);
  expect(4 * 20 - reading).toBeCloseTo(6, 2);
});

test("how long to wait is what falls short the way back", () => {
  const seconds = answerOf(settlingTime(1400, 1, 3.5));
  expect(answerOf(shortfall(1400, 1, seconds))).toBeCloseTo(3.5, 10);
  expect(answerOf(settlingTime(-1400, 1, 3.5))).toBe(seconds);
  expect(answerOf(settlingTime(2, 1, 3.5))).toBe(0);
  expect(answerOf(settlingTime(0, 1, 3.5))).toBe(0);
});

test("no step, too few readings, or a probe that runs away give no time constant", () => {
  expect(codeOf(timeConstantOfStep(answer(1, 0, 100), 5, 5))).toBe("no-step");
  expect(codeOf(timeConstantOfStep([], 0, 100))).toBe("too-few");
  expect(codeOf(timeConstantOfStep(answer(0.05, 0, 100), 0, 100))).toBe("too-few");
  const flat = Array.from({ length: 20 }, (_, i) => ({ seconds: i, value: 50 }));
  expect(codeOf(timeConstantOfStep(flat, 0, 100))).toBe("no-fit");
  const away = Array.from({ length: 8 }, (_, i) => ({ seconds: i, value: 80 - 5 * i }));
  expect(codeOf(timeConstantOfStep(away, 0, 100))).toBe("no-fit");
  const atOnce = Array.from({ length: 8 }, (_, i) => ({ seconds: 1, value: 20 + 5 * i }));
  expect(codeOf(timeConstantOfStep(atOnce, 0, 100))).toBe("no-fit");
});

test("what is no number gives none", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(codeOf(timeConstantOfStep(answer(1, 0, 100), bad, 0))).toBe("not-finite");
    expect(codeOf(timeConstantOfStep([{ seconds: 0, value: bad }], 0, 100))).toBe("not-finite");
    expect(codeOf(timeConstantOfStep([{ seconds: bad, value: 1 }], 0, 100))).toBe("not-finite");
    expect(codeOf(lagError(1, bad))).toBe("not-finite");
    expect(codeOf(shortfall(bad, 1, 1))).toBe("not-finite");
    expect(codeOf(settlingTime(bad, 1, 1))).toBe("not-finite");
  }
  for (const bad of [Number.NaN, 0, -1, Number.POSITIVE_INFINITY]) {
    expect(codeOf(timeConstantOfT90(bad))).toBe("not-positive");
    expect(codeOf(lagError(bad, 1))).toBe("not-positive");
    expect(codeOf(shortfall(1, bad, 1))).toBe("not-positive");
    expect(codeOf(settlingTime(1, bad, 1))).toBe("not-positive");
    expect(codeOf(settlingTime(1, 1, bad))).toBe("not-positive");
  }
  expect(codeOf(shortfall(1, 1, -0.1))).toBe("time-out-of-range");
  expect(codeOf(shortfall(1, 1, Number.NaN))).toBe("time-out-of-range");
  expect(codeOf(lagError(1e300, 1e300))).toBe("not-finite");
});
