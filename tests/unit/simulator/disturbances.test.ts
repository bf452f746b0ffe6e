import fc from "fast-check";
import { expect, test } from "vitest";
import { type Arriving, disturbed, type Messages } from "../../../simulator/disturbances.ts";
import { type Fault, faultPlan } from "../../../simulator/faults.ts";

const minute = 60_000;
const key = { seed: 5, firstMs: Date.UTC(2026, 10, 24) };
const fromMs = key.firstMs + 86_400_000;
const source = "GW-ST";

/** One reading a second. */
const steady: Messages = (_, from, to) => {
  const out: Arriving[] = [];
  for (let t = Math.ceil(from / 1000) * 1000; t < to; t += 1000) {
    out.push({ kind: "readings", fromMs: t, items: 1, body: { readings: [{ series: "WX-1/dew", t, value: t }] } });
  }
  return out;
};

const timesOf = (messages: readonly Arriving[]): number[] =>
  messages
    .filter(({ lost }) => lost !== true)
    .flatMap(({ body }) => (body["readings"] as { value: number }[]).map(({ value }) => value));

test("messages are lost, late, repeated and out of order about as often as the recipe says", () => {
  const messages = disturbed(key, faultPlan([]), true, steady);
  let [lost, all] = [0, 0];
  const times: number[] = [];
  for (let t = fromMs; t < fromMs + 8 * 60 * minute; t += minute) {
    const now = messages(source, t, t + minute);
    all += now.length;
    lost += now.filter((m) => m.lost === true).length;
    times.push(...timesOf(now));
  }
  const repeated = times.length - new Set(times).size;
  const late = times.filter((value, i) => times.slice(Math.max(0, i - 40), i).some((before) => before > value)).length;
  expect(all).toBeGreaterThan(25_000);
  expect(lost / all).toBeGreaterThan(0.001);
  expect(lost / all).toBeLessThan(0.003);
  expect(repeated / all).toBeGreaterThan(0.0004);
  expect(repeated / all).toBeLessThan(0.002);
  expect(late / all).toBeGreaterThan(0.015);
  expect(late / all).toBeLessThan(0.035);
});

test("of an outage the second half comes in afterwards, the first never", () => {
  const outage: Fault = { name: "outage", station: source, fromMs: fromMs + 10 * minute, toMs: fromMs + 50 * minute };
  const messages = disturbed(key, faultPlan([outage]), false, steady);
  const dark = timesOf(messages(source, outage.fromMs, outage.toMs));
  expect(dark).toEqual([]);
  const after = timesOf(messages(source, outage.toMs, outage.toMs + 5 * minute));
  const missed = after.filter((value) => value < outage.toMs);
  expect(missed[0]).toBe(fromMs + 30 * minute);
  expect(missed).toHaveLength(20 * 60);
  expect(timesOf(messages(source, fromMs, outage.fromMs))).toHaveLength(600);
});

test("a gateway whose clock is ahead stamps all it sends so", () => {
  const skew: Fault = { name: "clock-skew", station: source, fromMs, toMs: fromMs + minute, size: 2 };
  const messages = disturbed(key, faultPlan([skew]), false, steady);
  const sent = messages(source, fromMs, fromMs + 1000);
  const stamps = sent.flatMap(({ body }) => (body["readings"] as { t: number }[]).map(({ t }) => t));
  expect(stamps).toEqual([fromMs + 10_000]);
});

test("the same messages arrive however the time is cut", () => {
  const outage: Fault = { name: "outage", station: source, fromMs: fromMs + minute, toMs: fromMs + 3 * minute };
  const whole = timesOf(disturbed(key, faultPlan([outage]), true, steady)(source, fromMs, fromMs + 10 * minute));
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 1, max: 599_999 }), { maxLength: 8 }), (offsets) => {
      const messages = disturbed(key, faultPlan([outage]), true, steady);
      const cuts = [0, ...[...new Set(offsets)].sort((a, b) => a - b), 600_000].map((o) => fromMs + o);
      const pieces = cuts.slice(1).flatMap((cut, i) => timesOf(messages(source, cuts[i] as number, cut)));
      expect(pieces).toEqual(whole);
    }),
    { numRuns: 10 },
  );
});
