import type { RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { Chance, type ModelRun, modelRun, modelStartMs, signal, told, traceOf } from "./plant-models.ts";

// One run in which every instrument tells something that a plain feature is a measure of: means, extremes, times, weights.
// Beside its truth stands how far a feature may lie from it where the extractor states no error of its own, because all of
// it is the instrument's: four sd of its noise for one reading, and what a tenth of missing readings leaves open.

const lengthS = 600;
const pieceS = 75;
const names = ["fill", "cook", "press", "drain", "cool", "vacuum", "eject", "final"] as const;

type Take = "mean" | "median" | "highest" | "lowest";
type Stretch = readonly [fromS: number, toS: number];

const whole: Stretch = [0, lengthS];
const piece = (name: (typeof names)[number]): Stretch => {
  const from = pieceS * names.indexOf(name);
  return [from, from + pieceS];
};

/** Feature, role, what is taken of which stretch; level, swing and noise of the instrument. */
const instruments: readonly (readonly [role: string, level: number, swing: number, noise: number])[] = [
  ["storage-t", 18, 4, 0.05],
  ["vessel-pressure", 0.3, 0.05, 0.002],
  ["agitator-current", 6, 1, 0.05],
  ["silo-t", 24, 3, 0.05],
  ["silo-rh", 45, 6, 0.2],
  ["tool-t", 60, 8, 0.1],
  ["cooling-water-t", 24, 2, 0.05],
  ["vacuum", -0.65, 0.04, 0.003],
  ["fan-current", 5, 0.6, 0.03],
  ["rh", 30, 5, 0.2],
  ["room-t", 22, 1, 0.03],
  ["room-rh", 45, 8, 0.2],
  ["tank-t", 126, 3, 0.1],
  ["plate-t", 121, 3, 0.1],
  ["press-force", 400, 40, 2],
  ["slurry-density", 1.72, 0.02, 0.0008],
  ["slurry-t", 23, 2, 0.03],
  ["level", 60, 10, 0.1],
  ["mixer", 900, 40, 2],
  ["dew", 5, 2, 0.05],
  ["airflow", 0.55, 0.06, 0.004],
  ["drive-hz", 40, 0.5, 0.02],
  ["clamp", 6, 0.4, 0.02],
  ["casting-t", 400, 60, 2],
  ["dust-dp", 900, 120, 5],
  ["sand-in-t", 70, 8, 0.1],
  ["sand-out-t", 38, 4, 0.1],
  ["fines-dp", 600, 80, 3],
  ["pressure", 4.5, 0.3, 0.01],
  ["ambient-t", 12, 4, 0.05],
  ["barometer", 976, 5, 0.1],
];

const measures: readonly (readonly [feature: string, role: string, take: Take, stretch: Stretch])[] = [
  ["bead.storage_max", "storage-t", "highest", whole],
  ["px.pressure", "vessel-pressure", "median", piece("cook")],
  ["px.agitator", "agitator-current", "median", piece("cook")],
  ["silo.t_min", "silo-t", "lowest", whole],
  ["silo.t_max", "silo-t", "highest", whole],
  ["silo.rh", "silo-rh", "mean", whole],
  ["mold.tool_t", "tool-t", "median", piece("fill")],
  ["mold.cooling_water", "cooling-water-t", "median", piece("cool")],
  ["mold.vacuum", "vacuum", "median", [piece("vacuum")[1] - 5, piece("vacuum")[1]]],
  ["oven.fan", "fan-current", "median", whole],
  ["oven.rh", "rh", "mean", whole],
  ["room.t", "room-t", "mean", whole],
  ["room.rh", "room-rh", "mean", whole],
  ["glue.tank_t", "tank-t", "mean", whole],
  ["glue.plate_t", "plate-t", "mean", whole],
  ["glue.press_force", "press-force", "median", piece("press")],
  ["slurry.density", "slurry-density", "mean", whole],
  ["slurry.t", "slurry-t", "mean", whole],
  ["slurry.level", "level", "lowest", whole],
  ["slurry.mixer", "mixer", "median", whole],
  ["dry.airflow", "airflow", "mean", whole],
  ["dry.fan", "fan-current", "median", whole],
  ["dry.dew", "dew", "mean", whole],
  ["vib.drive", "drive-hz", "median", piece("final")],
  ["vib.clamp", "clamp", "lowest", piece("final")],
  ["shake.casting_t", "casting-t", "highest", whole],
  ["shake.dust", "dust-dp", "median", whole],
  ["sand.t_in", "sand-in-t", "mean", whole],
  ["sand.t_out", "sand-out-t", "mean", whole],
  ["sand.t_out_max", "sand-out-t", "highest", whole],
  ["sand.cooling_water", "cooling-water-t", "mean", whole],
  ["sand.fines_dp", "fines-dp", "mean", whole],
  ["sand.silo_level", "level", "lowest", whole],
  ["header.mean", "pressure", "mean", whole],
  ["header.min", "pressure", "lowest", whole],
  ["air.t", "ambient-t", "mean", whole],
  ["air.dew", "dew", "mean", whole],
  ["air.pressure", "barometer", "mean", whole],
];

/** The stretch of its one role that each plain measure rests on, in s. */
export const plainStretches: readonly { readonly id: string; readonly fromS: number; readonly toS: number }[] =
  measures.map(([id, , , [fromS, toS]]) => ({ id, fromS, toS }));

/** Single values by hand, by scale and by laboratory: features that take them as they are. */
const hands: readonly (readonly [role: string, level: number, features: readonly string[]])[] = [
  ["moisture", 0.8, ["px.moisture", "silo.moisture"]],
  ["weight-1", 41, ["mold.weight.1"]],
  ["weight-2", 40.6, ["mold.weight.2"]],
  ["glue-mass", 3, ["glue.mass"]],
  ["density-index", 2.4, ["melt.density_index"]],
  ["fines", 0.7, ["sand.fines"]],
  ["loi", 0.18, ["sand.loi"]],
  ["gfn", 52, ["sand.gfn"]],
];
const defects = ["fold", "penetration", "gas", "carbon", "collapse", "distortion", "beady", "leak"] as const;

const earlier = (role: string, hoursAgo: number, value: number): Sample => ({
  series: `M-1/${role}`,
  tMs: modelStartMs - hoursAgo * 3_600_000,
  value,
  quality: "good",
});

export function plainRun(seed: number): ModelRun {
  const chance = new Chance(seed);
  const truth: Record<string, number> = {};
  const errors: Record<string, number> = {};
  const signals: Record<string, ReturnType<typeof signal>> = {};
  const clean = new Map<
    string,
    { readonly at: (tS: number) => number; readonly swing: number; readonly noise: number }
  >();
  for (const [role, level, swing, noise] of instruments) {
    const [base, phase] = [level + swing * 0.3 * chance.normal(), 2 * Math.PI * chance.uniform()];
    const at = (tS: number): number => base + (swing / 2) * Math.sin((2 * Math.PI * tS) / lengthS + phase);
    clean.set(role, { at, swing, noise });
    signals[role] = signal(role, whole, 1000, noise / 4, (tS) => at(tS) + noise * chance.normal());
  }
  for (const [feature, role, take, [fromS, toS]] of measures) {
    const { at, swing, noise } = clean.get(role)!;
    const values = Array.from({ length: toS - fromS }, (_, i) => at(fromS + i)).sort((a, b) => a - b);
    const extreme = take === "highest" || take === "lowest";
    truth[feature] = {
      mean: values.reduce((sum, value) => sum + value, 0) / values.length,
      median: values[Math.floor(values.length / 2)]!,
      highest: values.at(-1)!,
      lowest: values[0]!,
    }[take];
    errors[feature] = (extreme ? 0.05 : 0.12) * swing + (extreme ? 4 : 1) * noise;
  }
  // The charge heats up, cooks and is blown out: how long above 90 Cel follows from the ramps.
  const [upS, downS] = [chance.between(100, 200), chance.between(380, 480)];
  const vessel = (tS: number): number => Math.max(60, Math.min(98, 60 + (tS - upS) * 0.5, 98 - (tS - downS) * 0.5));
  signals["vessel-t"] = signal("vessel-t", whole, 1000, 0.05, (tS) => vessel(tS) + 0.2 * chance.normal());
  truth["px.cook_time"] = downS + 16 - (upS + 60);
  truth["px.peak_t"] = 98;
  errors["px.peak_t"] = 1;

  const events: Record<string, ReturnType<typeof told>> = {};
  for (const [role, level, features] of hands) {
    const value = level * (1 + 0.05 * chance.normal());
    events[role] = told(role, [300, value]);
    for (const feature of features) [truth[feature], errors[feature]] = [value, 1e-9];
  }
  const pentane = [6 + 0.1 * chance.normal(), 5 + 0.1 * chance.normal()] as const;
  events["pentane"] = told("pentane", [10, pentane[0]], [590, pentane[1]]);
  truth["bead.pentane"] = pentane[0];
  truth["bead.pentane_end"] = truth["silo.pentane"] = pentane[1];
  for (const feature of ["bead.pentane", "bead.pentane_end", "silo.pentane"]) errors[feature] = 1e-9;
  const density = 22 + 0.25 * chance.normal();
  const weighings = [100, 300, 500].map((tS) => [tS, density + 0.08 * chance.normal()] as const);
  events["density"] = told("density", ...weighings);
  truth["px.density"] = density;
  errors["px.density"] = 0.4;
  const told3 = weighings.map(([, value]) => value);
  truth["px.density_range"] = Math.max(...told3) - Math.min(...told3);
  errors["px.density_range"] = 1e-9;
  truth["repeats.density"] = 1;
  errors["repeats.density"] = 0;

  const cup = 24 + chance.normal();
  events["viscosity"] = told("viscosity", [400, cup]);
  events["top-up"] = told("top-up", [100, 1]);
  events["coat"] = told("coat", [500, 9 + 0.45 * chance.normal()]);
  const coat = events["coat"][1][0]!.value!;
  const warm = clean.get("slurry-t")!;
  truth["slurry.viscosity"] = cup;
  truth["slurry.viscosity25"] = cup * Math.exp(0.02 * (truth["slurry.t"]! - 25));
  truth["slurry.saw_free"] = cup - (0.6 * 300) / 3600;
  truth["coat.weight"] = coat;
  truth["coat.saw_free"] = coat - 0.35 * (cup - 24);
  errors["slurry.viscosity25"] = 0.02 * cup * (0.12 * warm.swing + warm.noise);
  for (const id of ["slurry.viscosity", "slurry.saw_free", "coat.weight", "coat.saw_free"]) errors[id] = 1e-9;
  truth["repeats.viscosity"] = truth["repeats"] = 2;
  errors["repeats.viscosity"] = errors["repeats"] = 0;
  events["dip-reading"] = told("dip-reading", [450, 1420]);

  const [bare, area] = [900 + 20 * chance.normal(), 120 + chance.normal()];
  const wet = bare + 1500 + 50 * chance.normal();
  events["bare-weight"] = told("bare-weight", [1, bare]);
  events["wet-weight"] = told("wet-weight", [590, wet]);
  truth["dip.wet_pickup"] = wet - bare;
  truth["dip.wet_per_area"] = (wet - bare) / Number(area.toFixed(2));
  for (const id of ["dip.wet_pickup", "dip.wet_per_area"]) errors[id] = 1e-6;

  const inspected = 200 + Math.floor(100 * chance.uniform());
  events["inspected"] = told("inspected", [599, inspected]);
  for (const defect of ["defective", ...defects]) {
    const found = Math.floor(12 * chance.uniform());
    events[defect] = told(defect, [599, found]);
    truth[`inspect.${defect}`] = (100 * found) / inspected;
    errors[`inspect.${defect}`] = 1e-9;
  }

  const [openS, shutS] = [50 + Math.floor(200 * chance.uniform()), 300 + Math.floor(200 * chance.uniform())];
  events["door"] = told("door", [openS, 1], [shutS, 0]);
  events["draw"] = told("draw", [openS, 1], [shutS, 1]);
  events["hold"] = told("hold", [openS, 1], [shutS, 0]);
  truth["oven.door"] = truth["dry.door"] = truth["cool.hold"] = (shutS - openS) / 60;
  truth["silo.age"] = openS / 3600;
  for (const id of ["oven.door", "dry.door", "cool.hold", "silo.age"]) errors[id] = 1e-9;

  truth["mold.cool_time"] = truth["glue.press_time"] = truth["dip.drain_time"] = pieceS;
  truth["vib.time"] = truth["pour.time"] = lengthS;
  truth["room.age"] = lengthS / 86_400;
  truth["cool.time"] = lengthS / 60;
  for (const id of [
    "mold.cool_time",
    "glue.press_time",
    "dip.drain_time",
    "vib.time",
    "pour.time",
    "room.age",
    "cool.time",
  ])
    errors[id] = 1e-9;

  const [hold, minutes] = [chance.between(1, 20).toFixed(1), chance.between(20, 60).toFixed(0)];
  const openedMs = modelStartMs - Math.floor(chance.between(1, 200) * 3_600_000);
  const context = {
    ...{ hold, minutes, preheat: "3", area: area.toFixed(2), flask: "FA-1" },
    opened: new Date(openedMs).toISOString(),
    dipped: new Date(modelStartMs).toISOString(),
  };
  truth["sand.hold"] = Number(hold);
  truth["shake.since_pour"] = Number(minutes);
  truth["ladle.preheat"] = 3;
  truth["bead.age"] = (modelStartMs + lengthS * 1000 - openedMs) / 3_600_000;
  for (const id of ["sand.hold", "shake.since_pour", "ladle.preheat", "bead.age"]) errors[id] = 1e-9;

  const run = modelRun(
    lengthS,
    names.map((name) => [name, ...piece(name)]),
    context,
  );
  const before: RunTrace["before"] = {
    density: [earlier("density", 1, 21)],
    viscosity: [earlier("viscosity", 1, cup)],
    "dip-reading": [earlier("dip-reading", 2, 1415), earlier("dip-reading", 1, 1420)],
    "top-up": [],
    door: [],
  };
  return { trace: traceOf(run, { ...signals, ...events }, { before }), truth, errors };
}
