import fc from "fast-check";
import { expect, test } from "vitest";
import type { RoleSample, RunEvent } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { type SegmenterConfig, segmenterOf } from "../../../../spc/segment/segmenter.ts";

const epochMs = 1_764_057_600_000;
/** The clocks go back by a quarter of a minute amid the stream, and on again: no zone does, and so every edge is tried. */
const offsets = [
  { fromMs: Number.MIN_SAFE_INTEGER, offsetMs: 3_600_000 },
  { fromMs: epochMs + 47_000, offsetMs: 3_585_000 },
  { fromMs: epochMs + 95_000, offsetMs: 3_600_000 },
];

const configs: readonly SegmenterConfig[] = [
  {
    by: "state-signal",
    role: "event",
    states: { 1: "bed", 2: "fill", 3: "final" },
    opensAt: 1,
    closesAt: 0,
    timeoutMs: 60_000,
    gapMs: 15_000,
  },
  { by: "marker", role: "event", timeoutMs: 60_000, gapMs: 15_000 },
  {
    by: "threshold",
    role: "reading",
    opensAbove: 2,
    closesBelow: 1,
    holdMs: 2000,
    timeoutMs: 60_000,
    gapMs: 15_000,
  },
  { by: "clock", edges: Array.from({ length: 4320 }, (_, i) => i * 20_000), offsets },
  { by: "change", role: "event", key: "flask", timeoutMs: 60_000, gapMs: 15_000 },
  { by: "change", role: "event", key: "flask", closesAt: 0, idleMs: 9000, timeoutMs: 60_000, gapMs: 15_000 },
  { by: "items", role: "event", key: "flask", most: 2, timeoutMs: 60_000, gapMs: 15_000 },
  {
    by: "sequence",
    role: "reading",
    steps: [
      { name: "fill", above: 1 },
      { name: "final", above: 2, from: 1, holdMs: 1000 },
    ],
    ends: { below: 1, from: 2, holdMs: 2000 },
    timeoutMs: 60_000,
    gapMs: 15_000,
  },
];
/** A new kind does not compile until it stands here, and then needs a row above. */
const known: Readonly<Record<SegmenterConfig["by"], true>> = {
  "state-signal": true,
  marker: true,
  threshold: true,
  clock: true,
  change: true,
  items: true,
  sequence: true,
};
const nameOf = (config: SegmenterConfig): string =>
  config.by === "change" && config.idleMs ? "change, idle" : config.by;
const cases = configs.map((config) => [nameOf(config), config] as const);

/** A hostile station: steps of time from none to beyond the gap, any number, any quality, contradicting attributes. */
const stepMs = fc.oneof(
  { weight: 20, arbitrary: fc.integer({ min: 0, max: 4000 }) },
  fc.constant(15_001),
  fc.constant(70_000),
);
const value = fc.oneof(
  { weight: 20, arbitrary: fc.integer({ min: 0, max: 4 }) },
  fc.constant(null),
  fc.double(),
  fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 1e308, -1e308, -0),
);
const raw = fc.record({
  stepMs,
  role: fc.constantFrom("event", "reading"),
  value,
  quality: fc.constantFrom("good" as const, "good" as const, "uncertain" as const, "bad" as const),
  flask: fc.option(fc.constantFrom("F-1", "F-2", "F 3", "", "__proto__"), { freq: 2 }),
  times: fc.integer({ min: 1, max: 6 }),
});
const stream = fc.array(raw, { maxLength: 60, size: "max" }).map((items) => {
  let tMs = epochMs;
  const drawn = items.flatMap((item) => Array.from({ length: item.times }, () => item));
  return drawn.map((item): RoleSample => {
    tMs += item.stepMs;
    const sample = { series: `S/${item.role}`, role: item.role, tMs, value: item.value, quality: item.quality };
    return item.flask === null ? sample : { ...sample, attributes: { flask: item.flask } };
  });
});

test("every kind of segmenter stands in the list", () => {
  expect(new Set(configs.map(({ by }) => by))).toEqual(new Set(Object.keys(known)));
});

const closed = (events: readonly RunEvent[]) => events.flatMap((event) => (event.kind === "closed" ? [event.run] : []));

test.each(cases)("%s: any cut with a checkpoint in JSON gives the same runs", (_, config) => {
  const segmenter = segmenterOf("ST-1", config);
  fc.assert(
    fc.property(stream, fc.nat(), (samples, anywhere) => {
      const cut = anywhere % (samples.length + 1);
      const unbroken = advance(segmenter, samples);
      const before = advance(segmenter, samples.slice(0, cut));
      const checkpoint: unknown = JSON.parse(JSON.stringify(before.state));
      expect(checkpoint).toEqual(before.state);
      const after = advance(segmenter, samples.slice(cut), checkpoint);
      expect([...before.out, ...after.out]).toEqual(unbroken.out);
      expect(after.state).toEqual(unbroken.state);
    }),
    { numRuns: 300 },
  );
});

test.each(cases)("%s: a sample delivered twice in a row changes no run", (_, config) => {
  const segmenter = segmenterOf("ST-1", config);
  fc.assert(
    fc.property(stream, (drawn) => {
      // The store keeps one sample a series and time, so no two that differ can come out of it.
      const samples = drawn.filter(
        ({ series, tMs }, i) => i === drawn.findIndex((one) => one.series === series && one.tMs === tMs),
      );
      const twice = samples.flatMap((sample) => [sample, sample]);
      expect(closed(advance(segmenter, twice).out)).toEqual(closed(advance(segmenter, samples).out));
    }),
    { numRuns: 300 },
  );
});

test.each(cases)("%s: samples older than what was seen change no run", (_, config) => {
  const segmenter = segmenterOf("ST-1", config);
  fc.assert(
    fc.property(stream, fc.nat(), (samples, anywhere) => {
      const place = samples.length === 0 ? 0 : anywhere % samples.length;
      const replayed = samples.slice(0, place).filter(({ tMs }) => tMs < (samples[place - 1]?.tMs ?? 0));
      const disturbed = [...samples.slice(0, place), ...replayed, ...samples.slice(place)];
      expect(advance(segmenter, disturbed).out).toEqual(advance(segmenter, samples).out);
    }),
    { numRuns: 300 },
  );
});

test.each(cases)("%s: runs last, follow each other, stay within the timeout and hold their segments", (_, config) => {
  const segmenter = segmenterOf("ST-1", config);
  let seen = 0;
  fc.assert(
    fc.property(stream, (samples) => {
      const { out } = advance(segmenter, samples);
      const runs = closed(out);
      seen += runs.length;
      const ids = runs.map(({ id }) => id);
      expect(new Set(ids).size).toBe(ids.length);
      /** Where items stand side by side, only those of one name follow each other. */
      const lastEndMs = new Map<string, number>();
      for (const run of runs) {
        const place = run.id.slice(0, run.id.lastIndexOf(":"));
        expect(run.startMs).toBeGreaterThanOrEqual(lastEndMs.get(place) ?? Number.NEGATIVE_INFINITY);
        expect(run.endMs).toBeGreaterThan(run.startMs);
        // Threshold runs are confirmed after they began, so they may only be found overdue then, never made longer.
        expect(run.endMs - run.startMs).toBeLessThanOrEqual(60_000);
        let lastToMs = run.startMs;
        for (const { fromMs, toMs } of run.segments) {
          expect(fromMs).toBeGreaterThanOrEqual(lastToMs);
          expect(toMs).toBeGreaterThan(fromMs);
          lastToMs = toMs;
        }
        expect(run.endMs).toBeGreaterThanOrEqual(lastToMs);
        lastEndMs.set(place, run.endMs);
      }
    }),
    { numRuns: 300 },
  );
  expect(seen).toBeGreaterThan(20);
});

test.each(cases)("%s: whatever opened is closed or dropped once, and nothing else is", (_, config) => {
  const segmenter = segmenterOf("ST-1", config);
  fc.assert(
    fc.property(stream, (samples) => {
      const open: string[] = [];
      for (const event of advance(segmenter, samples).out) {
        if (event.kind === "opened") open.push(event.id);
        else {
          const id = event.kind === "closed" ? event.run.id : event.id;
          expect(open).toContain(id);
          open.splice(open.indexOf(id), 1);
        }
      }
      expect(open.length).toBeLessThanOrEqual(config.by === "items" ? 2 : 1);
    }),
    { numRuns: 300 },
  );
});

test.each(cases)("%s: a constant signal makes no run but those of the clock", (_, config) => {
  const segmenter = segmenterOf("ST-1", config);
  fc.assert(
    fc.property(
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.integer({ min: 1, max: 40 }),
      (level, times) => {
        const samples = Array.from(
          { length: times },
          (__, i): RoleSample => ({
            series: "S/reading",
            role: "reading",
            tMs: epochMs + 3000 * i,
            value: level,
            quality: "good",
          }),
        );
        const runs = closed(advance(segmenter, samples).out);
        if (config.by !== "clock") expect(runs).toEqual([]);
        else expect(runs.every(({ closedBy }) => closedBy === "end-condition")).toBe(true);
      },
    ),
    { numRuns: 100 },
  );
});

test.each(cases)("%s: a block of readings that is missing spoils no run that ended before it", (_, config) => {
  const segmenter = segmenterOf("ST-1", config);
  fc.assert(
    fc.property(stream, fc.nat(), fc.nat({ max: 30 }), (samples, anywhere, length) => {
      const place = anywhere % (samples.length + 1);
      const holed = [...samples.slice(0, place), ...samples.slice(place + length)];
      const known = closed(advance(segmenter, samples.slice(0, place)).out);
      expect(closed(advance(segmenter, holed).out).slice(0, known.length)).toEqual(known);
    }),
    { numRuns: 200 },
  );
});
