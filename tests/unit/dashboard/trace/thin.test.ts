import { expect, test } from "vitest";
import { thin } from "../../../../dashboard/trace/thin.ts";

test("a short trace is left as it is", () => {
  const tMs = [0, 1, 2];
  const value = [1, null, 3];
  expect(thin(tMs, value, 10)).toEqual({ tMs, value });
});

test("a long trace keeps every extreme, its order and its holes", () => {
  const tMs = Array.from({ length: 10_000 }, (_, at) => at);
  const value: (number | null)[] = tMs.map((t) => Math.sin(t / 300));
  value[4_321] = 9;
  value[7_000] = -9;
  value[8_888] = null;
  const few = thin(tMs, value, 100);
  expect(few.tMs.length).toBeLessThanOrEqual(300);
  expect(few.value).toContain(9);
  expect(few.value).toContain(-9);
  expect(few.tMs[few.value.indexOf(null)]).toBe(8_888);
  expect([...few.tMs].sort((a, b) => a - b)).toEqual(few.tMs);
});

test("readings all at one instant do not hang it", () => {
  const many = Array.from({ length: 50 }, () => 5);
  expect(thin(many, many, 10).value.every((one) => one === 5)).toBe(true);
});
