import fc from "fast-check";
import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import { leastCoverage } from "../../../../spc/features/readings.ts";
import type { FeatureExtractor, RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import {
  altered,
  codeOf,
  dryerTrace,
  flaskTrace,
  ovenTrace,
  pourTrace,
  runOf,
  shotTrace,
  startMs,
} from "../../../unit/spc/features/traces.ts";

/** A healthy trace of each kind of station, and the stretch in seconds that each feature rests on. */
const shot = shotTrace();
const oven = ovenTrace([-0.5, 0, 0.8], 1);
const dryer = dryerTrace();
const flask = flaskTrace();
const pour = pourTrace();
const cases: readonly { id: string; trace: RunTrace; fromS: number; toS: number }[] = [
  { id: "mold.plateau", trace: shot, fromS: 22, toS: 29 },
  { id: "mold.rise", trace: shot, fromS: 22, toS: 29 },
  { id: "mold.t_above", trace: shot, fromS: 22, toS: 29 },
  { id: "oven.mean", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.max", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.spread", trace: oven, fromS: 840, toS: 3600 },
  { id: "dry.dw_end", trace: dryer, fromS: 12_600, toS: 14_400 },
  { id: "dry.rh_peak", trace: dryer, fromS: 0, toS: 14_400 },
  { id: "vib.rms", trace: flask, fromS: 75.3, toS: 90.3 },
  { id: "vib.crest", trace: flask, fromS: 75.3, toS: 90.3 },
  { id: "vib.hf", trace: flask, fromS: 75.3, toS: 90.3 },
  { id: "pour.T1", trace: pour, fromS: 0, toS: 2 },
];
const featureOf = (id: string): FeatureExtractor => featureCatalogue[id]!({});

test("every feature that reads a signal is tried here, and each gives a number for a healthy run", () => {
  const reading = Object.keys(featureCatalogue).filter((id) => featureOf(id).roles.length > 0);
  expect(cases.map(({ id }) => id).sort()).toEqual(reading.sort());
  for (const { id, trace } of cases) expect(codeOf(featureOf(id).extract(trace))).toMatch(/^gave -?\d/);
});

test.each(cases)("$id is refused whichever readings are missing or bad, once they are more than a tenth", (one) => {
  const feature = featureOf(one.id);
  fc.assert(
    fc.property(
      fc.nat(),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.constantFrom("missing", "bad", "empty"),
      fc.infiniteStream(fc.nat()),
      (pick, share, how, order) => {
        const role = feature.roles[pick % feature.roles.length]!;
        const inside = (one.trace.samples[role] ?? []).filter(({ tMs }) => {
          const tS = (tMs - startMs) / 1000;
          return one.fromS <= tS && tS < one.toS;
        });
        const leastSpoiled = Math.floor(inside.length * (1 - leastCoverage) + 1e-9) + 1;
        const spoiled = new Set(
          inside
            .map((sample) => ({ sample, place: order.next().value as number }))
            .sort((a, b) => a.place - b.place)
            .slice(0, Math.max(leastSpoiled, Math.floor(share * inside.length)))
            .map(({ sample }) => sample),
        );
        const trace = altered(one.trace, role, (sample) => {
          if (!spoiled.has(sample)) return sample;
          if (how === "missing") return null;
          return how === "bad" ? { ...sample, quality: "bad" } : { ...sample, value: null };
        });
        expect(feature.extract(trace).ok).toBe(false);
      },
    ),
    { numRuns: 60 },
  );
});

const hostileValue = fc.oneof(
  fc.constantFrom(null, 0, -0, 1, 55, 1e308, -1e308, 5e-324, Number.NaN, Number.POSITIVE_INFINITY),
  fc.double(),
  fc.integer({ min: -100, max: 2000 }),
);

test.each(cases)("$id is finite or refused, and never throws, whatever stands in its readings", (one) => {
  const feature = featureOf(one.id);
  fc.assert(
    fc.property(
      fc.array(hostileValue, { minLength: 1, maxLength: 12 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.constantFrom("values", "constant", "block", "unordered"),
      (values, from, to, how) => {
        let trace = one.trace;
        for (const role of feature.roles) {
          const all = trace.samples[role] ?? [];
          const [low, high] = [Math.min(from, to) * all.length, Math.max(from, to) * all.length];
          let i = -1;
          trace = altered(trace, role, (sample) => {
            i += 1;
            if (how === "constant") return { ...sample, value: values[0]! };
            if (i < low || i >= high) return sample;
            return how === "block" ? null : { ...sample, value: values[i % values.length]! };
          });
          if (how === "unordered") {
            const samples: readonly Sample[] = [...(trace.samples[role] ?? [])].reverse();
            trace = { ...trace, samples: { ...trace.samples, [role]: samples } };
          }
        }
        const outcome = feature.extract(trace);
        if (outcome.ok) expect(Number.isFinite(outcome.value)).toBe(true);
        else expect(outcome.refusal.code).toMatch(/^[a-z]+(-[a-z]+)*$/);
      },
    ),
    { numRuns: 80 },
  );
});

test.each(Object.keys(featureCatalogue))("%s never throws over a run of any shape", (id) => {
  const feature = featureOf(id);
  const trace = cases.find((one) => one.id === id)?.trace ?? pour;
  const name = fc.constantFrom("cross-steam-b", "autoclave", "vent", "final", "fill");
  const second = fc.double({ min: 0, max: 90, noNaN: true });
  const segment = fc.tuple(name, second, second);
  const closedBy = fc.constantFrom("end-condition" as const, "timeout" as const, "gap" as const, "operator" as const);
  fc.assert(
    fc.property(fc.double({ min: 0, max: 200, noNaN: true }), fc.array(segment), closedBy, (lengthS, segments, by) => {
      for (const everyMs of [trace.everyMs, {}]) {
        const outcome = feature.extract({ ...trace, run: runOf(lengthS, segments, by), everyMs });
        if (outcome.ok) expect(Number.isFinite(outcome.value)).toBe(true);
      }
    }),
    { numRuns: 100 },
  );
});

test.each(Object.keys(featureCatalogue))("%s carries its own id, a unit and a version", (id) => {
  const feature = featureOf(id);
  expect(feature.id).toBe(id);
  expect(feature.unit).not.toBe("");
  expect(Number.isInteger(feature.version) && feature.version >= 1).toBe(true);
});
