import { calendarOf } from "../calendar.ts";
import { remembering } from "../emission.ts";
import { benchLead, castingNames, clusterOfFlask, flaskOfCluster, originOfSlice, partOfCluster } from "../lineage.ts";
import { partOfFlask, partsOf } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { placeOf, startOf } from "../schedule.ts";
import { ladleOfFlask } from "./iron-pour.ts";
import { type Model, tableOfFlask } from "./model.ts";

const hour = 3_600_000;
export const defectCodes = ["fold", "penetration", "gas", "carbon", "collapse", "distortion", "beady", "leak"] as const;
/** Plateau of a healthy shot, on average: the set point less what the header costs. */
const usualPlateauBar = 0.8983;
/** Parts that are pressure tested. */
export const leakTested: readonly string[] = ["OFW-2107", "OFW-3312"];

/** What a cluster went through, as the logits of its castings' defects take it. */
export interface Suspects {
  readonly pourOffK: number;
  readonly pourCel: number;
  readonly densityOff: number;
  readonly coatZ: number;
  readonly fusionZ: number;
  readonly rmsZ: number;
  readonly residualPercent: number;
  readonly hydrogenPercent: number;
  readonly finesZ: number;
  readonly vacuumZ: number;
  readonly vacuumDropped: boolean;
  readonly interrupted: boolean;
  readonly sandCel: number;
  readonly youngDays: boolean;
}

export interface CastCluster {
  readonly cluster: number;
  readonly part: string;
  readonly suspects: Suspects;
  /** Chance of each defect for each of its castings. */
  readonly chances: Readonly<Record<string, number>>;
  /** True defect of each casting, null for none, in the order of their places. */
  readonly defects: readonly (string | null)[];
  readonly castings: readonly string[];
}

export type Castings = (cluster: number) => CastCluster;

export function castings(model: Model): Castings {
  return remembering((cluster) => {
    const part = partOfCluster(cluster).id;
    const suspects = suspectsOf(model, cluster);
    const chances = chancesOf(part, suspects);
    const names = castingNames(cluster);
    const defects = names.map((name) => {
      const random = randomAt(model.key.seed, name, 0, "defect");
      for (const [code, chance] of Object.entries(chances)) if (random.uniform() < chance) return code;
      return null;
    });
    return { cluster, part, suspects, chances, defects, castings: names };
  }, 512);
}

function suspectsOf(model: Model, cluster: number): Suspects {
  const { aluminium, ordinal } = flaskOfCluster(cluster);
  const { castings: count, slices, setCel } = partOfCluster(cluster);
  const { table, number } = tableOfFlask(aluminium, ordinal);
  const tableRuns = model.tables.get(table)!;
  const filledMs = startOf(tableRuns.schedule, number);
  const features = tableRuns.features(number);
  const pour = pourOf(model, aluminium, ordinal);
  let densityOff = 0;
  let fusion = 0;
  let youngestMs = Number.NEGATIVE_INFINITY;
  for (let pattern = 0; pattern < count; pattern += 1) {
    for (let slice = 0; slice < slices; slice += 1) {
      const { press, shot } = originOfSlice(cluster, pattern, slice);
      const runs = model.presses.get(press)!;
      const { bead, steps } = runs.shot(shot);
      densityOff += bead.densityOff / (count * slices);
      fusion += (steps.find(({ step }) => step === 5)!.toward - usualPlateauBar) / 0.0146 / (count * slices);
      youngestMs = Math.max(youngestMs, startOf(runs.schedule, shot));
    }
  }
  const load = model.loadOf(cluster);
  const dryer = model.dryers.get(load.dryer)!;
  const outMs = startOf(dryer.schedule, load.number) + dryer.loadLastsMs(load.number);
  const taggedMs = calendarOf(model.key).clock((cluster - benchLead) * 360_000 + model.key.firstMs);
  const furnace = model.furnaces.get("FU-A1")!;
  const check = Math.floor(placeOf(furnace.schedule, pour.startMs));
  return {
    pourOffK: pour.firstCel - setCel,
    pourCel: pour.firstCel,
    densityOff,
    coatZ: (model.dips.coat(cluster) - 9) / 0.75,
    fusionZ: fusion,
    rmsZ: ((features["vib.rms"]?.value ?? 0.97) - 0.97) / 0.05,
    // A dry coat takes water up again while it hangs: a little every hour.
    residualPercent: dryer.residualPercent(load.number) + 0.003 * Math.max(0, (filledMs - outMs) / hour),
    hydrogenPercent: furnace.densityIndex(check),
    finesZ: (model.around.finesPercent(filledMs) - 0.7) / 0.08,
    vacuumZ: (pour.vacuumKpa - 45) / 1.5,
    vacuumDropped: pour.vacuumDipKpa > 18,
    interrupted: pour.gapMs > 0,
    sandCel: tableRuns.flask(number).sandCel,
    youngDays: taggedMs - youngestMs < 48 * hour,
  };
}

function pourOf(model: Model, aluminium: boolean, ordinal: number) {
  if (aluminium) {
    const number = ordinal + 8;
    const startMs = startOf(model.pours.schedule, number);
    return { ...model.pours.pour(number), startMs, vacuumKpa: 45, vacuumDipKpa: 0 };
  }
  const { ladle, position } = ladleOfFlask(ordinal);
  return model.ironPours.ladle(ladle).pours[position]!;
}

/** Known coefficients, so that whoever fits them can be told how well. */
function chancesOf(part: string, s: Suspects): Readonly<Record<string, number>> {
  const aluminium = part < "OFW-3";
  const fold = aluminium
    ? logistic(-4.2 - 0.055 * s.pourOffK + 0.35 * s.densityOff + 0.5 * s.coatZ + 0.4 * s.fusionZ)
    : 0;
  const hydrogen = aluminium ? 0.8 * (s.hydrogenPercent - 2.4) : 0;
  const gas = logistic(-4.3 + 2.2 * (s.residualPercent - 0.2) + hydrogen + 0.3 * s.finesZ);
  // Seen from the part's own set in iron: a ladle's first flask is poured 37 K above it.
  const overSet = aluminium ? s.pourOffK : s.pourOffK - 10;
  return {
    fold,
    penetration: logistic(-4.6 - 0.6 * s.rmsZ + 0.03 * overSet - 0.4 * s.coatZ),
    gas,
    carbon: aluminium
      ? 0
      : logistic(-4 - 0.03 * (s.pourCel - 1410) + 0.45 * s.densityOff + 0.5 * s.coatZ - 0.3 * s.vacuumZ),
    collapse: logistic(-7 + 3 * Number(s.interrupted) + 2 * Number(s.vacuumDropped) + 0.8 * Math.max(0, -s.rmsZ)),
    distortion: logistic(-4.8 + 0.5 * ((s.sandCel - 40) / 5) + 0.4 * Math.abs(s.rmsZ) + 0.4 * Number(s.youngDays)),
    beady: logistic(-4.4 - 0.9 * s.fusionZ),
    leak: leakTested.includes(part) ? 0.3 * fold + 0.2 * gas : 0,
  };
}

function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}

const windowMs = 8 * hour;

/** Clusters of a part whose flasks are filled in the window of eight hours of that number. */
export function clustersOfWindow(part: string, window: number): number[] {
  const aluminium = part < "OFW-3";
  const everyMs = aluminium ? 576_000 : 960_000;
  const clusters: number[] = [];
  for (let n = Math.ceil((window * windowMs) / everyMs); n * everyMs < (window + 1) * windowMs; n += 1) {
    if (partOfFlask(partsOf(aluminium), n).id === part) clusters.push(clusterOfFlask({ aluminium, ordinal: n }));
  }
  return clusters;
}
