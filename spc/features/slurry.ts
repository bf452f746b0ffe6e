import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { toldInstant, toldNumber } from "./context-number.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { toldBefore, toldValues } from "./told.ts";
import { wholeRun } from "./window.ts";

/** A tank is topped up at least so often, or nobody knows where in its saw it is. Common practice, no source. */
const lookBackMs = 48 * 3_600_000;

/**
 * `slurry.viscosity25`: flow-cup time as it would be at 25 Cel, so that a cold morning is no thick slurry.
 *
 * @shape   roles `viscosity`, told in s, and `slurry-t`; setting `perKelvin`, share by which a kelvin thins it (0.02)
 * @unit    s
 * @method  last cup of the run times exp(share (t - 25)), t the run's mean
 * @refuses `no-reading`; those of `wholeRun`, `coveredReadings`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  common practice, no source: 2 % a kelvin is what water does near 25 Cel (from memory); a plant finds its own
 * @checked tests/unit/spc/features/slurry.test.ts
 */
export function slurryViscosity25(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { perKelvin } = featureNumbers("slurry.viscosity25", settings, { perKelvin: 0.02 });
  return guarded({
    id: "slurry.viscosity25",
    version: 2,
    unit: "s",
    roles: ["viscosity", "slurry-t"],
    extract(trace) {
      const cups = toldValues(trace, "viscosity");
      if (!cups.ok) return cups;
      const run = wholeRun(trace.run);
      if (!run.ok) return run;
      const warm = coveredReadings(trace, "slurry-t", run.value);
      if (!warm.ok) return warm;
      const t = mean(warm.value.map(({ value }) => value));
      return ok(cups.value.at(-1)!.value * Math.exp(perKelvin * (t - 25)));
    },
  });
}

/**
 * `slurry.saw_free`: flow-cup time without the saw of evaporation and top-ups, so that what is left is the slurry itself.
 *
 * @shape   roles `viscosity`, told in s, and `top-up`, an event when water went in; setting `rate` in s an hour (0.6)
 * @unit    s
 * @method  last cup of the run minus rate times the hours since the last top-up before it
 * @refuses `no-reading` without a cup, or without a top-up in the two days before it
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  common practice, no source; the rate is the plant's own
 * @checked tests/unit/spc/features/slurry.test.ts
 */
export function slurrySawFree(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { rate } = featureNumbers("slurry.saw_free", settings, { rate: 0.6 });
  return guarded({
    id: "slurry.saw_free",
    version: 1,
    unit: "s",
    roles: ["viscosity", "top-up"],
    lookBackMs: { "top-up": lookBackMs },
    extract(trace) {
      const cups = toldValues(trace, "viscosity");
      if (!cups.ok) return cups;
      const cup = cups.value.at(-1)!;
      const inside = toldValues(trace, "top-up");
      const all = [...toldBefore(trace, "top-up"), ...(inside.ok ? inside.value : [])];
      const last = all.filter(({ tMs, value }) => value !== 0 && tMs <= cup.tMs).at(-1);
      if (last === undefined) return refuse("no-reading", "no top-up was heard of in the two days before the cup");
      return ok(cup.value - (rate * (cup.tMs - last.tMs)) / 3_600_000);
    },
  });
}

/**
 * `coat.saw_free`: dry coating weight as it would be at the usual viscosity, so that the saw of the tank hides no short drain.
 *
 * @shape   roles `coat`, told in g/dm2, and `viscosity` of the tank, told in s; settings `gain` in g/dm2 a second (0.35),
 *          `usual` in s (24) and `hours` from dip to weighing (8), which the run's own `recipe-cup` (s) and
 *          `dipped` (ISO time) replace
 * @unit    g/dm2
 * @method  last weighing of the run minus gain (viscosity - usual), of the cup nearest to the dip
 * @refuses `no-reading` without a weighing, or a cup within three hours of the dip
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  common practice, no source; gain and usual viscosity are the plant's own
 * @checked tests/unit/spc/features/slurry.test.ts
 */
export function coatSawFree(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("coat.saw_free", settings, { gain: 0.35, usual: 24, hours: 8 });
  return guarded({
    id: "coat.saw_free",
    version: 3,
    unit: "g/dm2",
    roles: ["coat", "viscosity"],
    roleUnits: { coat: "g/dm2" },
    lookBackMs: { viscosity: lookBackMs },
    extract(trace) {
      const weighed = toldValues(trace, "coat");
      if (!weighed.ok) return weighed;
      const coat = weighed.value.at(-1)!;
      const said = toldInstant(trace.run.context["dipped"] ?? "");
      const dippedMs = Number.isFinite(said) ? said : coat.tMs - numbers.hours * 3_600_000;
      const inside = toldValues(trace, "viscosity");
      const cups = [...toldBefore(trace, "viscosity"), ...(inside.ok ? inside.value : [])];
      const off = (tMs: number): number => Math.abs(tMs - dippedMs);
      const cup = cups.reduce((best, one) => (off(one.tMs) < off(best.tMs) ? one : best), cups[0] ?? coat);
      if (cups.length === 0 || off(cup.tMs) > 3 * 3_600_000) {
        return refuse("no-reading", "no cup of the tank was taken within three hours of the dip");
      }
      const usual = toldNumber(trace.run.context["recipe-cup"] ?? "");
      return ok(coat.value - numbers.gain * (cup.value - (Number.isNaN(usual) ? numbers.usual : usual)));
    },
  });
}
