import type { FeatureExtractor } from "../model/run.ts";
import { contextAge, contextNumber } from "./context-number.ts";
import { dipTemperature } from "./dip-temperature.ts";
import { dryDewEnd } from "./dry-dew-end.ts";
import { dryDwEnd } from "./dry-dw-end.ts";
import { dryResidual } from "./dry-residual.ts";
import { dryRhPeak } from "./dry-rh-peak.ts";
import { dryTEnd } from "./dry-t-end.ts";
import { dryUnweighed } from "./dry-unweighed.ts";
import { dryWPeak } from "./dry-w-peak.ts";
import { dryWater } from "./dry-water.ts";
import { dryWaterRatio } from "./dry-water-ratio.ts";
import { eventLasted, untilFirst } from "./event-times.ts";
import { finalMeasure } from "./final-measure.ts";
import { furnaceMinusDip } from "./furnace-minus-dip.ts";
import { ladleFirst, ladleFirstMinusLine, ladleLoss, ladleResidual, ladleSlope } from "./ladle-features.ts";
import { lasted } from "./lasted.ts";
import { measured } from "./measured.ts";
import { moldCook } from "./mold-cook.ts";
import { moldDTsat } from "./mold-dtsat.ts";
import { moldHdrMin } from "./mold-hdr-min.ts";
import { moldInt } from "./mold-int.ts";
import { moldNoise } from "./mold-noise.ts";
import { moldPlateau } from "./mold-plateau.ts";
import { moldRise } from "./mold-rise.ts";
import { moldSpread } from "./mold-spread.ts";
import { moldTAbove } from "./mold-t-above.ts";
import { moldThermometerZero } from "./mold-thermometer-zero.ts";
import { moldVent } from "./mold-vent.ts";
import { openTime } from "./open-time.ts";
import { ovenDegreeHours } from "./oven-degree-hours.ts";
import { ovenMax } from "./oven-max.ts";
import { ovenMean } from "./oven-mean.ts";
import { ovenRamp } from "./oven-ramp.ts";
import { ovenResidual } from "./oven-residual.ts";
import { ovenSoakTime } from "./oven-soak-time.ts";
import { ovenSpread } from "./oven-spread.ts";
import { pourFlowMeasure } from "./pour-flow-measure.ts";
import { pourSuperheat } from "./pour-superheat.ts";
import { pourT1 } from "./pour-t1.ts";
import { pourTime } from "./pour-time.ts";
import { pyroMinusDip } from "./pyro-minus-dip.ts";
import { repeatsOf } from "./repeats.ts";
import { shareOf } from "./share-of.ts";
import { coatSawFree, slurrySawFree, slurryViscosity25 } from "./slurry.ts";
import { timeAboveLevel } from "./time-above-level.ts";
import { told } from "./told.ts";
import { vacuumDrop } from "./vacuum-drop.ts";
import { vibAlone } from "./vib-alone.ts";
import { vibCrest } from "./vib-crest.ts";
import { vibMotors } from "./vib-motors.ts";
import { vibRatio } from "./vib-ratio.ts";
import { vibTOn } from "./vib-t-on.ts";
import { wetPickUp } from "./wet-pick-up.ts";

/** Makes an extractor from the numbers in the settings; a RangeError names a setting it does not know or cannot use. */
export type FeatureFactory = (settings: Readonly<Record<string, number>>) => FeatureExtractor;

/** A feature that one measure of one role makes, by its id. */
function simply(id: string, unit: string, role: string, take: Parameters<typeof measured>[0]["take"], more = {}) {
  return { [id]: measured({ id, unit, role, take, ...more }) };
}

/** A feature that people, scales or a laboratory told, by its id. */
function byHand(id: string, unit: string, role: string, take: Parameters<typeof told>[0]["take"] = "last") {
  return { [id]: told({ id, unit, role, take }) };
}

const each = (count: number, of: (n: number) => readonly [string, FeatureFactory]): Record<string, FeatureFactory> =>
  Object.fromEntries(Array.from({ length: count }, (_, i) => of(i + 1)));

/** Bead, pre-expansion, silo. */
const bead: Readonly<Record<string, FeatureFactory>> = {
  ...byHand("bead.pentane", "%", "pentane", "first"),
  ...byHand("bead.pentane_end", "%", "pentane"),
  ...simply("bead.storage_max", "Cel", "storage-t", "highest"),
  "bead.age": contextAge("bead.age", "opened"),
  ...byHand("px.density", "g/L", "density", "mean"),
  ...byHand("px.density_range", "g/L", "density", "range"),
  ...byHand("px.moisture", "%", "moisture"),
  ...simply("px.peak_t", "Cel", "vessel-t", "highest"),
  ...simply("px.pressure", "bar", "vessel-pressure", "median", { segment: "cook" }),
  ...simply("px.agitator", "A", "agitator-current", "median", { segment: "cook" }),
  "px.cook_time": timeAboveLevel("px.cook_time", "vessel-t", 90, 4),
  "repeats.density": repeatsOf("repeats.density", "density"),
  "silo.age": untilFirst("silo.age", "draw"),
  ...simply("silo.t_min", "Cel", "silo-t", "lowest"),
  ...simply("silo.t_max", "Cel", "silo-t", "highest"),
  ...simply("silo.rh", "%", "silo-rh", "mean"),
  ...byHand("silo.moisture", "%", "moisture"),
  ...byHand("silo.pentane", "%", "pentane"),
};

const mold: Readonly<Record<string, FeatureFactory>> = {
  "mold.plateau": moldPlateau,
  "mold.rise": moldRise,
  "mold.t_above": moldTAbove,
  "mold.int": moldInt,
  "mold.cook": moldCook,
  "mold.vent": moldVent,
  "mold.dTsat": moldDTsat,
  "mold.t_zero": moldThermometerZero,
  "mold.hdr_min": moldHdrMin,
  ...simply("mold.zero", "bar", "pressure", "median", { segment: "eject", lastS: 2, plusMinus: 0.02 }),
  "mold.noise": moldNoise,
  "mold.spread": moldSpread,
  "mold.cool_time": lasted("mold.cool_time", "s", "cool"),
  ...simply("mold.tool_t", "Cel", "tool-t", "median", { segment: "fill" }),
  ...simply("mold.cooling_water", "Cel", "cooling-water-t", "median", { segment: "cool" }),
  ...simply("mold.vacuum", "bar", "vacuum", "median", { segment: "vacuum", lastS: 5 }),
  ...byHand("mold.weight.1", "g", "weight-1"),
  ...byHand("mold.weight.2", "g", "weight-2"),
};

/** Ageing oven and room, gluing. */
const ageing: Readonly<Record<string, FeatureFactory>> = {
  "oven.mean": ovenMean,
  "oven.max": ovenMax,
  "oven.spread": ovenSpread,
  ...each(3, (n) => [`oven.residual.${n}`, ovenResidual(n)]),
  "oven.soak_time": ovenSoakTime,
  "oven.degree_hours": ovenDegreeHours,
  "oven.ramp": ovenRamp,
  "oven.door": openTime("oven.door"),
  ...simply("oven.fan", "A", "fan-current", "median"),
  ...simply("oven.rh", "%", "rh", "mean"),
  ...simply("room.t", "Cel", "room-t", "mean"),
  ...simply("room.rh", "%", "room-rh", "mean"),
  "room.age": lasted("room.age", "d"),
  ...simply("glue.tank_t", "Cel", "tank-t", "mean"),
  ...simply("glue.plate_t", "Cel", "plate-t", "mean"),
  ...simply("glue.press_force", "N", "press-force", "median", { segment: "press" }),
  "glue.press_time": lasted("glue.press_time", "s", "press"),
  ...byHand("glue.mass", "g", "glue-mass"),
};

/** Slurry, dip, coat, dryer. */
const coating: Readonly<Record<string, FeatureFactory>> = {
  ...byHand("slurry.viscosity", "s", "viscosity"),
  "slurry.viscosity25": slurryViscosity25,
  "slurry.saw_free": slurrySawFree,
  "repeats.viscosity": repeatsOf("repeats.viscosity", "viscosity"),
  ...simply("slurry.density", "kg/L", "slurry-density", "mean"),
  ...simply("slurry.t", "Cel", "slurry-t", "mean"),
  ...simply("slurry.level", "%", "level", "lowest"),
  ...simply("slurry.mixer", "/min", "mixer", "median"),
  "dip.wet_pickup": wetPickUp("dip.wet_pickup", { perArea: false }),
  "dip.wet_per_area": wetPickUp("dip.wet_per_area", { perArea: true }),
  "dip.drain_time": lasted("dip.drain_time", "s", "drain"),
  ...byHand("coat.weight", "g/dm2", "coat"),
  "coat.saw_free": coatSawFree,
  "dry.t_end": dryTEnd,
  "dry.water": dryWater,
  "dry.water_ratio": dryWaterRatio,
  "dry.residual": dryResidual,
  "dry.dw_end": dryDwEnd,
  "dry.unweighed": dryUnweighed,
  "dry.rh_peak": dryRhPeak,
  "dry.w_peak": dryWPeak,
  "dry.dew_end": dryDewEnd,
  "dry.door": openTime("dry.door"),
  ...simply("dry.rh_end", "%", "return-rh", "mean", { lastS: 1800, plusMinus: 0.5 }),
  ...simply("dry.t_mean", "Cel", "return-t", "mean", { plusMinus: 0.3 }),
  ...simply("dry.t_max", "Cel", "return-t", "highest", { plusMinus: 0.8 }),
  ...simply("dry.airflow", "kg/s", "airflow", "mean"),
  ...simply("dry.fan", "A", "fan-current", "median"),
  ...simply("dry.dew", "Cel", "dew", "mean"),
};

/** Compaction table, and the sand it is filled with. */
const compaction: Readonly<Record<string, FeatureFactory>> = {
  "vib.rms": finalMeasure("vib.rms", "[g]", "vibration-z.rms", "rms", 0.02),
  "vib.rms.x": finalMeasure("vib.rms.x", "[g]", "vibration-x.rms", "rms", 0.02),
  "vib.rms.y": finalMeasure("vib.rms.y", "[g]", "vibration-y.rms", "rms", 0.02),
  "vib.peak": finalMeasure("vib.peak", "[g]", "vibration-z.peak", "highest", 0.12),
  "vib.crest": vibCrest("vib.crest", "vibration-z"),
  "vib.f1": finalMeasure("vib.f1", "Hz", "vibration-z.f1", "median", 0.3),
  "vib.hf": finalMeasure("vib.hf", "[g]", "vibration-z.hf", "rms", 0.005),
  "vib.half": finalMeasure("vib.half", "[g]", "vibration-z.half", "rms", 0.01),
  "vib.two": finalMeasure("vib.two", "[g]", "vibration-z.two", "rms", 0.01),
  "vib.sync": finalMeasure("vib.sync", "[g]", "vibration-z.rms", "spread", 0.02),
  "vib.lateral": vibRatio("vib.lateral", ["vibration-x.rms", "vibration-y.rms"], "vibration-z.rms"),
  "vib.wall": vibRatio("vib.wall", ["wall-z.rms"], "vibration-z.rms"),
  "vib.wall.crest": vibCrest("vib.wall.crest", "wall-z"),
  "vib.wall.hf": finalMeasure("vib.wall.hf", "[g]", "wall-z.hf", "rms", 0.005),
  "vib.alone": vibAlone,
  "vib.t_on": vibTOn,
  "vib.time": lasted("vib.time", "s"),
  "vib.motors": vibMotors,
  ...simply("vib.drive", "Hz", "drive-hz", "median", { segment: "final" }),
  ...simply("vib.clamp", "bar", "clamp", "lowest", { segment: "final" }),
  ...simply("sand.T_fill", "Cel", "sand-t", "mean", { segment: "fill", plusMinus: 0.5 }),
  ...simply("sand.mass", "kg", "fill-mass", "median", { segment: "final", lastS: 5, plusMinus: 2 }),
  "sand.hold": contextNumber("sand.hold", "h", "hold"),
};

const pouring: Readonly<Record<string, FeatureFactory>> = {
  "pour.T1": pourT1,
  "pour.superheat": pourSuperheat,
  "pour.time": pourTime,
  "pour.flow_time": pourFlowMeasure("pour.flow_time", "s", ({ flowS }) => flowS, 0.8),
  "pour.gap": pourFlowMeasure("pour.gap", "s", ({ gapS }) => gapS, 0.6),
  "pour.gaps": pourFlowMeasure("pour.gaps", "1", ({ gaps }) => gaps, 0.5),
  "pour.mass": pourFlowMeasure("pour.mass", "kg", ({ kg }) => kg, 0.6),
  "pour.rate": pourFlowMeasure("pour.rate", "kg/s", ({ kg, flowS, gapS }) => kg / (flowS - gapS), 0.4),
  ...simply("pour.vacuum", "kPa", "vacuum", "mean", { plusMinus: 1.5 }),
  ...simply("pour.vacuum_min", "kPa", "vacuum", "lowest", { plusMinus: 4 }),
  "pour.vacuum_drop": vacuumDrop,
  "pour.pyro_minus_dip": pyroMinusDip,
  "ladle.first": ladleFirst,
  "ladle.slope": ladleSlope,
  ...each(12, (n) => [`ladle.residual.${n}`, ladleResidual(n)]),
  "ladle.first_minus_line": ladleFirstMinusLine,
  "ladle.loss": ladleLoss,
  "ladle.dip": dipTemperature("ladle.dip"),
  "ladle.preheat": contextNumber("ladle.preheat", "1", "preheat"),
  "furnace.dip": dipTemperature("furnace.dip"),
  "furnace.minus_dip": furnaceMinusDip,
  repeats: repeatsOf("repeats", "dip-reading"),
  ...byHand("melt.density_index", "%", "density-index"),
};

/** Cooling, shakeout, sand, inspection, services. */
const after: Readonly<Record<string, FeatureFactory>> = {
  "cool.time": lasted("cool.time", "min"),
  "cool.hold": eventLasted("cool.hold", "hold", "flask"),
  ...simply("shake.casting_t", "Cel", "casting-t", "highest"),
  ...simply("shake.dust", "Pa", "dust-dp", "median"),
  "shake.since_pour": contextNumber("shake.since_pour", "min", "minutes"),
  ...simply("sand.t_in", "Cel", "sand-in-t", "mean"),
  ...simply("sand.t_out", "Cel", "sand-out-t", "mean"),
  ...simply("sand.t_out_max", "Cel", "sand-out-t", "highest"),
  ...simply("sand.cooling_water", "Cel", "cooling-water-t", "mean"),
  ...simply("sand.fines_dp", "Pa", "fines-dp", "mean"),
  ...simply("sand.silo_level", "%", "level", "lowest"),
  ...byHand("sand.fines", "%", "fines"),
  ...byHand("sand.loi", "%", "loi"),
  ...byHand("sand.gfn", "1", "gfn"),
  "inspect.defective": shareOf("inspect.defective", "defective"),
  ...Object.fromEntries(
    ["fold", "penetration", "gas", "carbon", "collapse", "distortion", "beady", "leak"].map((defect) => [
      `inspect.${defect}`,
      shareOf(`inspect.${defect}`, defect),
    ]),
  ),
  ...simply("header.mean", "bar", "pressure", "mean"),
  ...simply("header.min", "bar", "pressure", "lowest"),
  ...simply("air.t", "Cel", "ambient-t", "mean"),
  ...simply("air.dew", "Cel", "dew", "mean"),
  ...simply("air.pressure", "hPa", "barometer", "mean"),
};

/** Every feature there is, by the id that settings name it by. */
export const featureCatalogue: Readonly<Record<string, FeatureFactory>> = {
  ...bead,
  ...mold,
  ...ageing,
  ...coating,
  ...compaction,
  ...pouring,
  ...after,
};
