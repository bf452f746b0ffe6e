import { expect, test } from "vitest";
import { axisTimes } from "../../../../dashboard/model/axis-times.ts";
import { stretches } from "../../../../dashboard/model/gaps.ts";
import { ruler } from "../../../../dashboard/model/ruler.ts";
import { stripModel } from "../../../../dashboard/model/strip.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";
import { characteristic, flag, noonMs, point, signalled } from "../wire-samples.ts";

const size = { width: 200, height: 60, right: 10, places: 120 };
const noFlags = new Map();

test("limits stand at 20 % and 80 % of the height, and what lies beyond the edge is held there", () => {
  const scale = ruler({ lower: 0.87, upper: 0.93 }, 100);
  expect(scale.y(0.93)).toBeCloseTo(20, 9);
  expect(scale.y(0.87)).toBeCloseTo(80, 9);
  expect(scale.y(0.9)).toBeCloseTo(50, 9);
  expect(scale.y(5)).toBe(0);
  expect(scale.beyond(5)).toBe(true);
  expect(scale.beyond(0.94)).toBe(false);
});

test("a ruler over equal values puts them in the middle", () => {
  expect(ruler({ lower: 3, upper: 3 }, 100).y(3)).toBeCloseTo(50, 9);
  expect(ruler({ lower: 0, upper: 0 }, 100).y(0)).toBeCloseTo(50, 9);
});

test("no line is drawn across a missing value or a silence", () => {
  const after = point(4, 0.9);
  const silent = { ...after, spread: { ...after.spread, value: null } };
  const points = [point(0, 0.9), point(1, null), point(2, 0.9), point(3, 0.9), silent, point(5, 0.9)];
  expect(stretches(points)).toEqual([[0], [2, 3], [4, 5]]);
  const strip = stripModel(characteristic(), points, noFlags, size);
  expect(strip.path.match(/M/g)).toHaveLength(3);
  expect(strip.gaps).toHaveLength(2);
  expect(strip.drawn).toBe(5);
});

test("the first streamed point after imported ones starts a line of its own, without a hatch", () => {
  const first = point(0, 0.9);
  const points = [point(-1, 0.9, { imported: true, subgroup: -1 }), first, point(1, 0.9)];
  expect(stretches(points)).toEqual([[0], [1, 2]]);
  expect(stripModel(characteristic(), points, noFlags, size).gaps).toEqual([]);
});

test("a strip rings every signalled point, and prints the value of one that is held at its edge", () => {
  const id = flag().id;
  const points = [
    point(0, 0.9),
    signalled(point(1, 0.866), id, "beyond-limit", "below"),
    signalled(point(2, 0.7), id, "beyond-limit", "below"),
  ];
  const strip = stripModel(characteristic(), points, new Map([[id, flag({ label: "act-now" })]]), size);
  expect(strip.rings.map((ring) => [ring.label, ring.beyond])).toEqual([
    ["act-now", null],
    ["act-now", "0.700"],
  ]);
  expect(strip.rings[1]?.y).toBe(60);
  expect(strip.last?.x).toBe(190);
});

test("of several values held at one edge the newest is printed, left of the rings that it would cover", () => {
  const id = flag().id;
  const points = [0, 1, 2].map((at) => signalled(point(at, 0.7 + at / 100), id, "beyond-limit", "below"));
  const strip = stripModel(characteristic(), points, new Map([[id, flag()]]), size);
  expect(strip.beyond).toEqual({ x: strip.rings[0]?.x, y: 60, text: "0.720" });
});

test("without limits points are drawn and no line is made up", () => {
  const bare = point(0, 0.5, { limitSet: null });
  const strip = stripModel(characteristic({ limits: null }), [bare], noFlags, size);
  expect(strip.limits).toBeNull();
  expect(strip.drawn).toBe(1);
  const empty = stripModel(characteristic({ limits: null }), [], noFlags, size);
  expect([empty.path, empty.last]).toEqual(["", null]);
});

test("a strip shows the newest points only, at the same spacing however many there are", () => {
  const many = Array.from({ length: 150 }, (_, at) => point(at, 0.9));
  expect(stripModel(characteristic(), many, noFlags, size).drawn).toBe(120);
  const two = stripModel(characteristic(), many.slice(0, 2), noFlags, size);
  expect(two.path.startsWith("M188.4,30")).toBe(true);
});

test("times under an axis write the day where it changes", () => {
  const points = Array.from({ length: 5 }, (_, at) => point(at * 600, 0.9));
  const texts = (most: number, width: number) =>
    axisTimes(points, siteTimes("CET"), most, width).map((one) => one.text);
  expect(texts(3, 600)).toEqual(["25 Nov 13:00", "26 Nov 09:00", "27 Nov 05:00"]);
  // Fewer where they would run into each other; the day is still said.
  expect(texts(5, 300).length).toBeLessThan(5);
  expect(texts(3, 220)).toEqual(["25 Nov 13:00", "27 Nov 05:00"]);
  expect(axisTimes([], siteTimes("CET"), 3, 600)).toEqual([]);
  expect(noonMs).toBe(Date.parse("2026-11-25T12:00:00Z"));
});
