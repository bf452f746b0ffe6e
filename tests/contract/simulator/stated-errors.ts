import { featureCatalogue } from "../../../spc/features/catalogue.ts";

/**
 * How far from what truly was a feature of the plant's readings may lie, in its own unit. An extractor states what its
 * arithmetic leaves open (`plusMinus`); this table has what the plant's own scales, tips, probes and hands add to it,
 * about four and a half of their standard deviations. Times that events tell are exact. The plant is invented: no source.
 */
const ofInstruments: Readonly<Record<string, number>> = {
  "bead.pentane": 0.25,
  "bead.pentane_end": 0.25,
  "bead.storage_max": 0.6,
  "px.density": 0.35,
  "px.density_range": 0.6,
  "px.moisture": 0.15,
  "px.peak_t": 0.7,
  "repeats.density": 0,
  "silo.age": 0,
  "silo.t_max": 0.4,
  "silo.moisture": 0.15,
  "silo.pentane": 0.1,
  "room.age": 0,
  "room.t": 0.1,
  "room.rh": 0.2,
  "header.mean": 0.01,
  "header.min": 0.06,
  "mold.cooling_water": 0.15,
  "mold.vacuum": 0.006,
  "mold.weight.1": 0.1,
  "mold.weight.2": 0.1,
  "oven.door": 0,
  "oven.fan": 0.1,
  "glue.tank_t": 0.4,
  "glue.plate_t": 0.4,
  "glue.press_time": 0,
  "glue.press_force": 5,
  "glue.mass": 0.02,
  "slurry.saw_free": 2,
  "slurry.density": 0.004,
  "slurry.t": 0.1,
  "slurry.mixer": 4,
  "repeats.viscosity": 0,
  "dip.wet_pickup": 20,
  "dip.wet_per_area": 0.15,
  "dip.drain_time": 0,
  "coat.weight": 0.5,
  /** That, and the cup's 0.4 s at 0.35 g/dm2 a second, taken up to half an hour of its saw away. */
  "coat.saw_free": 0.8,
  "dry.airflow": 0.001,
  "dry.dew": 0.1,
  /** The scale that weighs the dry coats: 0.1 kg of 95. */
  "dry.residual": 0.5,
  "vib.clamp": 0.1,
  "sand.hold": 0.06,
  "pour.time": 0,
  /** The analysis: a hundredth of each element, so 4 K of a hundredth of carbon's 3.3 %. */
  "pour.superheat": 17,
  /** Each tip has an error of its own, of 2 K. */
  "ladle.dip": 6,
  "furnace.dip": 6,
  "furnace.minus_dip": 6,
  "pour.pyro_minus_dip": 6,
  "ladle.preheat": 0,
  repeats: 0,
  "melt.density_index": 0.5,
  "cool.time": 0,
  "shake.casting_t": 9,
  "shake.dust": 8,
  "sand.t_in": 0.1,
  "sand.t_out": 0.1,
  "sand.cooling_water": 0.1,
  "sand.fines_dp": 0.6,
  "sand.fines": 0.15,
  "sand.loi": 0.06,
  "sand.gfn": 4,
  "inspect.defective": 0,
  "inspect.fold": 0,
  "inspect.gas": 0,
  "inspect.penetration": 0,
  "inspect.carbon": 0,
  "inspect.distortion": 0,
  "air.t": 0.1,
  "air.dew": 0.1,
  "air.pressure": 0.1,
};

/** Rounding of times and shares as they are written down. */
const rounding = 1e-6;

/** Throws for a feature of which nobody states how far it may be off. */
export function statedError(feature: string): number {
  const { plusMinus } = featureCatalogue[feature]!({});
  const added = ofInstruments[feature];
  if (plusMinus === undefined && added === undefined) throw new RangeError(`no error is stated for ${feature}`);
  return (plusMinus ?? 0) + (added ?? 0) + rounding;
}
