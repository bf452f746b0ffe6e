import { expect, test } from "vitest";
import { contextAge, contextNumber } from "../../../../spc/features/context-number.ts";
import { eventLasted, untilFirst } from "../../../../spc/features/event-times.ts";
import { lasted } from "../../../../spc/features/lasted.ts";
import { openTime } from "../../../../spc/features/open-time.ts";
import { repeatsOf } from "../../../../spc/features/repeats.ts";
import { shareOf } from "../../../../spc/features/share-of.ts";
import { newestTold, told } from "../../../../spc/features/told.ts";
import type { RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { codeOf, numberOf, runOf, startMs } from "./traces.ts";

type At = readonly [tS: number, value: number | null, more?: Partial<Sample>];
const samples = (role: string, list: readonly At[]): readonly Sample[] =>
  list.map(([tS, value, more]) => ({
    series: `ST-1/${role}`,
    tMs: startMs + tS * 1000,
    value,
    quality: "good",
    ...more,
  }));
const trace = (
  roles: Readonly<Record<string, readonly At[]>>,
  before: Readonly<Record<string, readonly At[]>> = {},
  context: Readonly<Record<string, string>> = {},
): RunTrace => ({
  run: { ...runOf(3600, [["press", 10, 30]]), context },
  samples: Object.fromEntries(Object.entries(roles).map(([role, list]) => [role, samples(role, list)])),
  everyMs: {},
  ambientPressureHpa: 1013.25,
  before: Object.fromEntries(Object.entries(before).map(([role, list]) => [role, samples(role, list)])),
});
const weighed: readonly At[] = [
  [1, 21.9],
  [20, 22.3],
  [40, 22.0],
  [50, 99, { quality: "bad" }],
  [3600, 5],
];

test("what was told is the first, the last, the mean or the range of the good values inside the run", () => {
  const of = (take: "first" | "last" | "mean" | "range") =>
    numberOf(told({ id: "px.density", unit: "g/L", role: "density", take })({}).extract(trace({ density: weighed })));
  expect([of("first"), of("last")]).toEqual([21.9, 22]);
  expect(of("mean")).toBeCloseTo(22.0667, 4);
  expect(of("range")).toBeCloseTo(0.4, 9);
});

test("nothing told is a refusal and never 0; a range of one is none", () => {
  const range = told({ id: "x", unit: "g", role: "density", take: "range" })({});
  expect(codeOf(range.extract(trace({})))).toBe("no-reading");
  expect(codeOf(range.extract(trace({ density: [[5, null, { quality: "bad" }]] })))).toBe("no-reading");
  expect(codeOf(range.extract(trace({ density: [[5, 22]] })))).toBe("too-few");
  expect(codeOf(newestTold(trace({}), "density"))).toBe("no-reading");
  expect(
    newestTold(
      trace(
        {},
        {
          density: [
            [-50, 1],
            [-5, 2],
          ],
        },
      ),
      "density",
    ),
  ).toMatchObject({ value: { value: 2 } });
});

test("a door's minutes count from how it stood before the run", () => {
  const door = (inside: readonly At[], before: readonly At[] = []) =>
    openTime("oven.door")({}).extract(trace({ door: inside }, { door: before }));
  expect(
    numberOf(
      door(
        [
          [600, 1],
          [1200, 0],
        ],
        [[-99, 0]],
      ),
    ),
  ).toBe(10);
  expect(numberOf(door([[600, 0]], [[-99, 1]]))).toBe(10);
  expect(numberOf(door([[600, 0]]))).toBe(10);
  expect(numberOf(door([[3000, 1]]))).toBe(10);
  expect(numberOf(door([], [[-99, 0]]))).toBe(0);
  expect(numberOf(door([], [[-99, 1]]))).toBe(60);
  expect(codeOf(door([]))).toBe("no-reading");
});

test("repeats count back from the newest reading, over the runs before", () => {
  const repeats = repeatsOf("repeats", "dip-reading")({});
  const of = (now: number, ...before: number[]) =>
    numberOf(
      repeats.extract(trace({ "dip-reading": [[5, now]] }, { "dip-reading": before.map((v, i): At => [i - 99, v]) })),
    );
  expect(of(1450, 1450, 1450, 1450)).toBe(4);
  expect(of(1450, 1450, 1451, 1450, 1450)).toBe(3);
  expect(of(1449, 1450, 1450)).toBe(1);
  expect(codeOf(repeats.extract(trace({}, { "dip-reading": [[-9, 1450]] })))).toBe("no-reading");
});

test("a run's events tell numbers and times, and nothing else will do", () => {
  const hold = contextNumber("sand.hold", "h", "hold")({});
  expect(numberOf(hold.extract(trace({}, {}, { hold: "5.5" })))).toBe(5.5);
  for (const said of ["", "soon", "5,5", "NaN", "1e3", " 5"]) {
    expect(codeOf(hold.extract(trace({}, {}, { hold: said })))).toBe("no-reading");
  }
  expect(codeOf(contextNumber("x", "h", "toString")({}).extract(trace({})))).toBe("no-reading");
  const age = contextAge("bead.age", "opened")({});
  const iso = (tS: number): string => new Date(startMs + tS * 1000).toISOString();
  expect(numberOf(age.extract(trace({}, {}, { opened: iso(-3600) })))).toBe(2);
  expect(codeOf(age.extract(trace({}, {}, { opened: iso(9999) })))).toBe("time-out-of-range");
  expect(codeOf(age.extract(trace({})))).toBe("no-reading");
});

test("times between events, each flask's own", () => {
  expect(
    numberOf(
      untilFirst(
        "silo.age",
        "draw",
      )({}).extract(
        trace({
          draw: [
            [1800, 1],
            [1900, 0],
          ],
        }),
      ),
    ),
  ).toBe(0.5);
  expect(codeOf(untilFirst("silo.age", "draw")({}).extract(trace({ draw: [[1800, 0]] })))).toBe("no-reading");
  const hold = eventLasted("cool.hold", "hold", "flask")({});
  const mine = { attributes: { flask: "FF-1" } };
  const other = { attributes: { flask: "FF-2" } };
  const both = trace(
    {
      hold: [
        [60, 1, mine],
        [90, 1, other],
        [300, 0, other],
        [660, 0, mine],
      ],
    },
    {},
    { flask: "FF-1" },
  );
  expect(numberOf(hold.extract(both))).toBe(10);
  expect(codeOf(hold.extract(trace({ hold: [[60, 1, other]] }, {}, { flask: "FF-1" })))).toBe("no-reading");
});

test("how long a run or a segment lasted", () => {
  expect(numberOf(lasted("room.age", "d")({}).extract(trace({})))).toBeCloseTo(1 / 24, 12);
  expect(numberOf(lasted("glue.press_time", "s", "press")({}).extract(trace({})))).toBe(20);
  expect(codeOf(lasted("x", "s", "drain")({}).extract(trace({})))).toBe("segment-missing");
});

test("a share needs a count of what was inspected", () => {
  const share = shareOf("inspect.fold", "fold")({});
  const of = (fold: number, inspected: number) =>
    share.extract(trace({ fold: [[9, fold]], inspected: [[9, inspected]] }));
  expect(numberOf(of(3, 120))).toBe(2.5);
  expect(numberOf(of(0, 120))).toBe(0);
  expect(codeOf(of(0, 0))).toBe("not-positive");
  expect(codeOf(of(5, 4))).toBe("count-out-of-range");
  expect(codeOf(of(-1, 4))).toBe("count-out-of-range");
  expect(codeOf(share.extract(trace({ fold: [[9, 3]] })))).toBe("no-reading");
});
