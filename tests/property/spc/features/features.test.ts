import fc from "fast-check";
import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import { leastCoverage } from "../../../../spc/features/readings.ts";
import type { FeatureExtractor, RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { altered, codeOf, ovenTrace, runOf, startMs } from "../../../unit/spc/features/traces.ts";
import { plainRun, plainStretches } from "./plain-models.ts";
import { checkRun, dryerRun, flaskRun, ladleRun, pourRun, shotRun } from "./plant-models.ts";

/** A healthy run of each kind of station, and the stretch in seconds that each feature rests on. */
const shot = shotRun(1).trace;
const oven = ovenTrace([-0.5, 0, 0.8], 1);
const dryer = dryerRun(1).trace;
const flask = flaskRun(1).trace;
const pour = pourRun(1).trace;
const withoutContext = ladleRun(1, { pours: 12 }).trace;
const ladle: RunTrace = { ...withoutContext, run: { ...withoutContext.run, context: { preheat: "3" } } };
const check = checkRun(1).trace;
const plain = plainRun(1).trace;
interface Case {
  readonly id: string;
  readonly trace: RunTrace;
  readonly fromS: number;
  readonly toS: number;
  /** Roles that must cover the stretch, where not all of the feature's do. */
  readonly covering?: readonly string[];
}
const load = ["return-rh", "return-t", "supply-rh", "supply-t"];
const hours = dryer.run.endMs / 1000 - dryer.run.startMs / 1000;
const station: readonly Case[] = [
  { id: "mold.plateau", trace: shot, fromS: 22, toS: 29 },
  { id: "mold.rise", trace: shot, fromS: 22, toS: 29 },
  { id: "mold.t_above", trace: shot, fromS: 22, toS: 29 },
  { id: "mold.int", trace: shot, fromS: 22, toS: 29 },
  { id: "mold.cook", trace: shot, fromS: 14, toS: 18 },
  { id: "mold.vent", trace: shot, fromS: 29, toS: 33 },
  { id: "mold.dTsat", trace: shot, fromS: 27, toS: 29 },
  { id: "mold.t_zero", trace: shot, fromS: 53, toS: 55, covering: ["chamber-t"] },
  { id: "mold.hdr_min", trace: shot, fromS: 0, toS: 79 },
  { id: "mold.zero", trace: shot, fromS: 77, toS: 79 },
  { id: "mold.noise", trace: shot, fromS: 25, toS: 29 },
  { id: "mold.spread", trace: shot, fromS: 0, toS: 79 },
  { id: "mold.tool_t", trace: shot, fromS: 0, toS: 12 },
  { id: "mold.cooling_water", trace: shot, fromS: 33, toS: 55 },
  { id: "mold.vacuum", trace: shot, fromS: 68, toS: 73 },
  { id: "oven.mean", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.max", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.spread", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.residual.1", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.residual.2", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.residual.3", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.soak_time", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.degree_hours", trace: oven, fromS: 840, toS: 3600 },
  { id: "oven.ramp", trace: oven, fromS: 840, toS: 3600 },
  { id: "dry.dw_end", trace: dryer, fromS: hours - 1800, toS: hours },
  { id: "dry.unweighed", trace: dryer, fromS: hours - 1800, toS: hours, covering: [...load, "airflow", "witness"] },
  { id: "dry.rh_peak", trace: dryer, fromS: 0, toS: hours },
  { id: "dry.t_end", trace: dryer, fromS: 0, toS: hours },
  { id: "dry.water", trace: dryer, fromS: 0, toS: hours },
  { id: "dry.water_ratio", trace: dryer, fromS: 0, toS: hours, covering: [...load, "airflow"] },
  { id: "dry.residual", trace: dryer, fromS: hours - 600, toS: hours, covering: ["witness"] },
  { id: "dry.w_peak", trace: dryer, fromS: 0, toS: hours },
  { id: "dry.dew_end", trace: dryer, fromS: hours - 1800, toS: hours },
  { id: "dry.rh_end", trace: dryer, fromS: hours - 1800, toS: hours },
  { id: "dry.t_mean", trace: dryer, fromS: 0, toS: hours },
  { id: "dry.t_max", trace: dryer, fromS: 0, toS: hours },
  { id: "dry.airflow", trace: dryer, fromS: 0, toS: hours },
  ...["rms", "rms.x", "rms.y", "peak", "crest", "hf", "f1", "half", "two", "sync", "lateral", "wall", "wall.crest"].map(
    (what) => ({ id: `vib.${what}`, trace: flask, fromS: 44.5, toS: 59.5 }),
  ),
  { id: "vib.alone", trace: flask, fromS: 44.5, toS: 59.5 },
  { id: "vib.wall.hf", trace: flask, fromS: 44.5, toS: 59.5 },
  { id: "vib.t_on", trace: flask, fromS: 0, toS: 60 },
  { id: "vib.motors", trace: flask, fromS: 45, toS: 60 },
  { id: "vib.drive", trace: flask, fromS: 40, toS: 60 },
  { id: "vib.clamp", trace: flask, fromS: 40, toS: 60 },
  { id: "sand.T_fill", trace: flask, fromS: 15, toS: 40 },
  { id: "sand.mass", trace: flask, fromS: 55, toS: 60 },
  { id: "pour.T1", trace: pour, fromS: 0, toS: 2 },
  { id: "pour.superheat", trace: pour, fromS: 0, toS: 2, covering: ["stream"] },
  ...["gap", "gaps", "flow_time", "mass", "rate", "vacuum", "vacuum_min", "vacuum_drop"].map((what) => ({
    id: `pour.${what}`,
    trace: pour,
    fromS: 0,
    toS: 99,
  })),
  { id: "furnace.minus_dip", trace: check, fromS: 0, toS: 15, covering: ["metal-t"] },
  { id: "px.cook_time", trace: plain, fromS: 0, toS: 600 },
  { id: "px.peak_t", trace: plain, fromS: 0, toS: 600 },
  { id: "slurry.viscosity25", trace: plain, fromS: 0, toS: 600, covering: ["slurry-t"] },
];
const cases: readonly Case[] = [
  ...station,
  ...plainStretches.filter(({ id }) => !station.some((one) => one.id === id)).map((one) => ({ ...one, trace: plain })),
];
/** They rest on the plateau of a dip, wherever it lies: a dip without one is refused, however many readings it has. */
const ofDips = ["ladle.dip", "furnace.dip", "pour.pyro_minus_dip"];
const matched = ["dry.t_end", "dry.water", "dry.water_ratio"];
const featureOf = (id: string): FeatureExtractor => featureCatalogue[id]!(matched.includes(id) ? { pair: 2 } : {});
/** A healthy run for every feature there is. */
const everyOne: readonly Case[] = Object.keys(featureCatalogue).map((id) => {
  const known = cases.find((one) => one.id === id);
  if (known !== undefined) return known;
  const ofLadle = id.startsWith("ladle") || id === "pour.pyro_minus_dip";
  const trace = ofLadle ? ladle : id === "furnace.dip" ? check : plain;
  return { id, trace, fromS: 0, toS: 600 };
});

test("every feature that rests on a stretch of readings has a case that takes them away", () => {
  const resting = everyOne.filter(({ id, trace }) =>
    featureOf(id).roles.some((role) => (trace.samples[role] ?? []).length > 20),
  );
  const without = resting.map(({ id }) => id).filter((id) => !cases.some((one) => one.id === id));
  expect(without.sort()).toEqual([...ofDips].sort());
});

test("every feature gives a number for a healthy run", () => {
  for (const { id, trace } of everyOne) expect(`${id} ${codeOf(featureOf(id).extract(trace))}`).toMatch(/ gave -?\d/);
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
        const roles = one.covering ?? feature.roles;
        const role = roles[pick % roles.length]!;
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
    { numRuns: 40 },
  );
});

const hostileValue = fc.oneof(
  fc.constantFrom(null, 0, -0, 1, 55, 1e308, -1e308, 5e-324, Number.NaN, Number.POSITIVE_INFINITY),
  fc.double(),
  fc.integer({ min: -100, max: 2000 }),
);

test.each(everyOne)("$id is the same when samples come twice", (one) => {
  const feature = featureOf(one.id);
  const once = feature.extract(one.trace);
  fc.assert(
    fc.property(fc.array(fc.nat(), { minLength: 1, maxLength: 40 }), (picks) => {
      let trace = one.trace;
      for (const role of feature.roles) {
        const all = trace.samples[role] ?? [];
        const twice = new Set(picks.map((pick) => all[pick % Math.max(1, all.length)]));
        const samples = all.flatMap((sample) => (twice.has(sample) ? [sample, sample] : [sample]));
        trace = { ...trace, samples: { ...trace.samples, [role]: samples } };
      }
      expect(feature.extract(trace)).toEqual(once);
    }),
    { numRuns: 5 },
  );
});

test.each(everyOne)("$id is finite or refused, and never throws, whatever stands in its readings", (one) => {
  const feature = featureOf(one.id);
  fc.assert(
    fc.property(
      fc.array(hostileValue, { minLength: 1, maxLength: 12 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.constantFrom("values", "constant", "steps", "block", "unordered"),
      (values, from, to, how) => {
        let trace = one.trace;
        for (const role of feature.roles) {
          const all = trace.samples[role] ?? [];
          const [low, high] = [Math.min(from, to) * all.length, Math.max(from, to) * all.length];
          let i = -1;
          trace = altered(trace, role, (sample) => {
            i += 1;
            if (how === "steps") {
              const step = Math.floor((i * values.length) / Math.max(1, all.length));
              return { ...sample, value: values[step] ?? null };
            }
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
    { numRuns: 40 },
  );
});

test.each(Object.keys(featureCatalogue))("%s never throws over a run of any shape", (id) => {
  const feature = featureOf(id);
  const trace = everyOne.find((one) => one.id === id)!.trace;
  const name = fc.constantFrom("cross-steam-b", "autoclave", "vent", "cool", "eject", "final", "fill", "cook");
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
    { numRuns: 40 },
  );
});

test.each(Object.keys(featureCatalogue))("%s carries its own id, a unit and a version", (id) => {
  const feature = featureOf(id);
  expect(feature.id).toBe(id);
  expect(feature.unit).not.toBe("");
  expect(Number.isInteger(feature.version) && feature.version >= 1).toBe(true);
});
