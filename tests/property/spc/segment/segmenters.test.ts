import fc from "fast-check";
import { expect, test } from "vitest";
import type { RoleSample, RunEvent } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { type SegmenterConfig, segmenterOf } from "../../../../spc/segment/segmenter.ts";

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
];

/** A hostile station: steps of time from none to beyond the gap, any number, any quality, contradicting attributes. */
const stepMs = fc.oneof(
  { weight: 20, arbitrary: fc.integer({ min: 0, max: 4000 }) },
  fc.constant(15_001),
  fc.constant(70_000),
);
const value = fc.oneof(
  { weight: 20, arbitrary: fc.integer({ min: 0, max: 4 }) },
  fc.constant(null),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
);
const raw = fc.record({
  stepMs,
  role: fc.constantFrom("event", "reading"),
  value,
  quality: fc.constantFrom("good" as const, "good" as const, "uncertain" as const, "bad" as const),
  flask: fc.option(fc.constantFrom("F-1", "F-2"), { freq: 2 }),
  times: fc.integer({ min: 1, max: 6 }),
});
const stream = fc.array(raw, { maxLength: 60, size: "max" }).map((items) => {
  let tMs = 1_764_057_600_000;
  const drawn = items.flatMap((item) => Array.from({ length: item.times }, () => item));
  return drawn.map((item): RoleSample => {
    tMs += item.stepMs;
    const sample = { series: `S/${item.role}`, role: item.role, tMs, value: item.value, quality: item.quality };
    return item.flask === null ? sample : { ...sample, attributes: { flask: item.flask } };
  });
});

const closed = (events: readonly RunEvent[]) => events.flatMap((event) => (event.kind === "closed" ? [event.run] : []));

test.each(configs)("$by: any cut with a checkpoint in JSON gives the same runs", (config) => {
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

test.each(configs)("$by: a sample delivered twice in a row changes no run", (config) => {
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

test.each(configs)("$by: samples older than what was seen change no run", (config) => {
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

test.each(configs)("$by: runs last, follow each other, stay within the timeout and hold their segments", (config) => {
  const segmenter = segmenterOf("ST-1", config);
  let seen = 0;
  fc.assert(
    fc.property(stream, (samples) => {
      const { out } = advance(segmenter, samples);
      const runs = closed(out);
      seen += runs.length;
      const ids = runs.map(({ id }) => id);
      expect(new Set(ids).size).toBe(ids.length);
      let lastEndMs = Number.NEGATIVE_INFINITY;
      for (const run of runs) {
        expect(run.startMs).toBeGreaterThanOrEqual(lastEndMs);
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
        lastEndMs = run.endMs;
      }
      const openings = out.flatMap((event) => (event.kind === "opened" ? [event.id] : []));
      for (const id of ids) expect(openings).toContain(id);
    }),
    { numRuns: 300 },
  );
  expect(seen).toBeGreaterThan(20);
});
