import type { TrueFeature } from "./true-run.ts";

/** Unit of a feature, and what measuring adds to its true value: its mean and its standard deviation. */
type Measuring = readonly [unit: string, bias: number, sd: number];

/**
 * The error of the run model, feature by feature: what the product's decoder, segmenters and extractors make of a healthy
 * plant's readings less what truly was. Our own simulation; `run-model-agrees.test.ts` holds each line to it. Where the
 * name of a feature means another thing at another station, the station stands before it.
 */
export const measuring: Readonly<Record<string, Measuring>> = {
  "bead.pentane": ["%", 0, 0.05],
  "bead.pentane_end": ["%", 0, 0.05],
  "bead.storage_max": ["Cel", 0.2, 0.06],
  "px.density": ["g/L", 0, 0.072],
  "px.density_range": ["g/L", 0, 0],
  "px.moisture": ["%", 0, 0.03],
  "px.peak_t": ["Cel", 0.287, 0.067],
  "px.cook_time": ["s", -0.01, 0.4],
  "repeats.density": ["1", 0, 0],
  "silo.age": ["h", 0, 0],
  "silo.t_max": ["Cel", -0.01, 0.075],
  "silo.moisture": ["%", 0, 0.03],
  "silo.pentane": ["%", 0, 0.003],
  "room.age": ["d", 0, 0],
  "room.t": ["Cel", 0, 0.0035],
  "room.rh": ["%", 0, 0.014],
  "header.min": ["bar", -0.0035, 0.0101],
  "header.mean": ["bar", 0, 0.0002],
  "mold.plateau": ["bar", -0.0048, 0.0035],
  "mold.rise": ["s", -0.055, 0.088],
  "mold.t_above": ["s", 0.02, 0.052],
  "mold.int": ["bar.s", 0.0125, 0.0345],
  "mold.cook": ["s", 0.02, 0.05],
  "mold.vent": ["s", 0.005, 0.06],
  "mold.hdr_min": ["bar", -0.001, 0.005],
  "mold.dTsat": ["K", -0.285, 0.119],
  "mold.t_zero": ["K", 0, 0.1],
  "mold.zero": ["bar", 0, 0.0044],
  "mold.noise": ["bar", 0.00068, 0.00066],
  "mold.cooling_water": ["Cel", 0, 0.03],
  "mold.vacuum": ["bar", 0, 0.001],
  "mold.weight.1": ["g", 0, 0.029],
  "mold.weight.2": ["g", 0, 0.029],
  "oven.mean": ["Cel", -0.003, 0.017],
  "oven.max": ["Cel", 0, 0],
  "oven.spread": ["K", 0, 0],
  "oven.residual.1": ["K", 0, 0.043],
  "oven.residual.2": ["K", 0, 0.043],
  "oven.residual.3": ["K", 0, 0.043],
  "oven.soak_time": ["h", 0, 0.011],
  "oven.door": ["min", 0, 0],
  "oven.fan": ["A", 0, 0],
  "glue.tank_t": ["Cel", 0, 0.057],
  "glue.plate_t": ["Cel", 0, 0.05],
  "glue.press_time": ["s", 0, 0],
  "glue.press_force": ["N", -0.05, 0.72],
  "glue.mass": ["g", 0, 0.003],
  "slurry.saw_free": ["s", 0, 0.4],
  "slurry.density": ["kg/L", 0, 0.00057],
  "slurry.t": ["Cel", 0, 0.013],
  "slurry.mixer": ["/min", 0, 0.6],
  "repeats.viscosity": ["1", 0, 0],
  "dip.wet_pickup": ["g", 0, 4.5],
  "dip.wet_per_area": ["g/dm2", 0, 0.027],
  "dip.drain_time": ["s", 0, 0],
  "coat.weight": ["g/dm2", 0, 0.1],
  "coat.saw_free": ["g/dm2", 0, 0.19],
  "dry.dw_end": ["g/kg", -0.002, 0.045],
  "dry.unweighed": ["g/kg", -0.002, 0.048],
  "dry.rh_peak": ["%", 0.24, 0.145],
  "dry.water": ["kg", 0, 0.8],
  "dry.water_ratio": ["1", 0.0055, 0.0082],
  "dry.residual": ["%", 0.004, 0.122],
  "dry.t_end": ["h", 0.08, 0],
  "dry.airflow": ["kg/s", 0, 8e-5],
  "dry.dew": ["Cel", 0, 0.008],
  "dry.t_mean": ["Cel", 0, 0.005],
  "vib.rms": ["[g]", 0, 0.0003],
  "vib.crest": ["1", 0, 0.0111],
  "vib.hf": ["[g]", 0, 0.00026],
  "vib.f1": ["Hz", 0, 0.0105],
  "vib.t_on": ["s", 0, 0],
  "vib.motors": ["%", 0, 0],
  "vib.wall": ["1", 0.0001, 0.00043],
  "vib.alone": ["[g]", 0, 0.0005],
  "vib.clamp": ["bar", -0.022, 0.0086],
  "sand.T_fill": ["Cel", 0, 0.021],
  "sand.mass": ["kg", 0, 0.1],
  "sand.hold": ["h", 0, 0],
  "pour.T1": ["Cel", 1.24, 0.63],
  "pour.superheat": ["K", 1.24, 0.85],
  // An analysis is off by a hundredth of each element, and carbon weighs most.
  "PO-F:pour.superheat": ["K", 1.15, 4],
  "pour.time": ["s", 0, 0],
  "pour.mass": ["kg", -0.0105, 0.0136],
  "pour.gap": ["s", 0, 0],
  "pour.vacuum": ["kPa", 0.058, 0.025],
  "pour.vacuum_drop": ["kPa", 0.42, 0.175],
  "ladle.first": ["Cel", 1.15, 0.65],
  "ladle.slope": ["K/min", 0, 0.1],
  "ladle.first_minus_line": ["K", 0, 0.97],
  "pour.pyro_minus_dip": ["K", 0.15, 2.5],
  "ladle.dip": ["Cel", -0.34, 2.2],
  "ladle.preheat": ["1", 0, 0],
  "furnace.minus_dip": ["K", 0.34, 1.9],
  "furnace.dip": ["Cel", -0.34, 1.9],
  repeats: ["1", 0, 0],
  "melt.density_index": ["%", 0, 0.1],
  "cool.time": ["min", 0, 0],
  "shake.casting_t": ["Cel", 2, 1.32],
  "shake.dust": ["Pa", 0, 1.52],
  "sand.t_in": ["Cel", 0, 0.0067],
  "sand.t_out": ["Cel", 0, 0.003],
  "sand.cooling_water": ["Cel", 0, 0.002],
  "sand.fines_dp": ["Pa", 0, 0.09],
  "sand.fines": ["%", 0, 0.03],
  "sand.loi": ["%", 0, 0.0104],
  "sand.gfn": ["1", 0, 0.8],
  "inspect.defective": ["%", 0, 0],
  "inspect.fold": ["%", 0, 0],
  "inspect.gas": ["%", 0, 0],
  "inspect.penetration": ["%", 0, 0],
  "inspect.carbon": ["%", 0, 0],
  "inspect.distortion": ["%", 0, 0],
  "air.dew": ["Cel", 0, 0.019],
  "air.t": ["Cel", 0, 0.0155],
  "air.pressure": ["hPa", 0, 0.018],
};

/**
 * What hangs on a trace's own noise: the run model draws it anew, run by run another than the trace gives. Only how such
 * features are distributed agrees.
 */
export const drawn: ReadonlySet<string> = new Set(["oven.max", "oven.spread", "dry.t_end", "vib.motors", "vib.t_on"]);

/** What a faulty instrument adds to a feature; null where it gives none. */
export type Off = Readonly<Record<string, number | null>>;

/** The line of the table that a feature goes by at a station. */
export function measuredAs(station: string, feature: string): string {
  const own = `${station}:${feature}`;
  return Object.hasOwn(measuring, own) ? own : feature;
}

/** True values with their unit and the error of measuring them; a RangeError names one that the table does not know. */
export function told(
  values: Readonly<Record<string, number>>,
  off: Off = {},
  station = "",
): Record<string, TrueFeature> {
  const features: Record<string, TrueFeature> = {};
  for (const [feature, value] of Object.entries(values)) {
    const known = measuring[measuredAs(station, feature)];
    if (known === undefined) throw new RangeError(`no error of measuring is stated for ${feature}`);
    const [unit, bias, sd] = known;
    features[feature] = { value, unit, bias, sd, ...(off[feature] === undefined ? {} : { off: off[feature] }) };
  }
  return features;
}
