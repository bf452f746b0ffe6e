import { calendarOf } from "../calendar.ts";
import { type Fault, type FaultPlan, faultPlan } from "../faults.ts";
import { dipOfCluster } from "../lineage.ts";
import {
  dryers,
  furnaces,
  ironPourStation,
  oven,
  type PlantKey,
  pourStation,
  presses,
  tables,
} from "../plant-layout.ts";
import { startOf } from "../schedule.ts";
import { aluminiumCooling, type CoolingLine, ironCooling } from "./cooling.ts";
import { type DryerRuns, dryerRuns, nextLoad } from "./dryer-load.ts";
import { type Flask, type FlaskRuns, flaskRuns } from "./flask.ts";
import { type IronPours, ironPours } from "./iron-pour.ts";
import { type Melt, melt } from "./melt.ts";
import { type OvenRuns, ovenRuns } from "./oven-load.ts";
import { type PourRuns, pourRuns } from "./pour.ts";
import { type Prepuff, prepuff } from "./prepuff.ts";
import { type PressRuns, pressRuns } from "./press-shot.ts";
import { type Services, services } from "./services.ts";
import { type Dips, dips, type Slurry, slurry } from "./slurry.ts";
import { steamHeader } from "./steam-header.ts";

/** What the plant does, without its instruments: every run of every station, from a seed, a first instant and the faults. */
export interface Model {
  readonly key: PlantKey;
  readonly faults: FaultPlan;
  readonly header: (tMs: number) => number;
  readonly around: Services;
  readonly beads: Readonly<Record<"PX-1" | "PX-2", Prepuff>>;
  readonly presses: ReadonlyMap<string, PressRuns>;
  readonly oven: OvenRuns;
  readonly tanks: Readonly<Record<"SL-A" | "SL-F", Slurry>>;
  readonly dips: Dips;
  readonly dryers: ReadonlyMap<string, DryerRuns>;
  readonly tables: ReadonlyMap<string, FlaskRuns>;
  readonly pours: PourRuns;
  readonly ironPours: IronPours;
  readonly furnaces: ReadonlyMap<string, Melt>;
  readonly cooling: Readonly<Record<"CO-A" | "CO-F", CoolingLine>>;
  /** The dryer load that dried a cluster's last coat. */
  loadOf(cluster: number): { readonly dryer: string; readonly number: number };
  loadOfDip(cluster: number, coat: 1 | 2): { readonly dryer: string; readonly number: number };
}

export function plantModel(key: PlantKey, faults: readonly Fault[]): Model {
  const plan = faultPlan(faults);
  const header = steamHeader(key, plan);
  const around = services(key, plan);
  const beads = { "PX-1": prepuff(key, "PX-1", plan), "PX-2": prepuff(key, "PX-2", plan) };
  const tanks = { "SL-A": slurry(key, "SL-A", plan), "SL-F": slurry(key, "SL-F", plan) };
  const dipRuns = dips(key, tanks, plan);
  const pours = pourRuns(key, pourStation, plan);
  const iron = ironPours(key, ironPourStation, plan);
  const loadOfDip: Model["loadOfDip"] = (cluster, coat) =>
    nextLoad(key, startOf(dipRuns.schedule, dipOfCluster(cluster, coat)) + hangMs);
  return {
    key,
    faults: plan,
    header,
    around,
    beads,
    presses: new Map(presses.map((id) => [id, pressRuns(key, id, header, beads, around, plan)])),
    oven: ovenRuns(key, oven, plan),
    tanks,
    dips: dipRuns,
    dryers: new Map(dryers.map((id) => [id, dryerRuns(key, id, plan)])),
    tables: new Map(tables.map((id) => [id, flaskRuns(key, id, around, plan)])),
    pours,
    ironPours: iron,
    furnaces: new Map(furnaces.map((id) => [id, melt(key, id, pours, plan)])),
    cooling: { "CO-A": aluminiumCooling(key, pours, plan), "CO-F": ironCooling(key, iron, plan) },
    loadOf: (cluster) => loadOfDip(cluster, 2),
    loadOfDip,
  };
}

/** From the start of its dip until a cluster hangs ready for the dryer. */
const hangMs = 5 * 60_000;

/** The table and run that filled a flask. */
export function tableOfFlask(aluminium: boolean, ordinal: number): { readonly table: string; readonly number: number } {
  const second = ((ordinal % 2) + 2) % 2 === 1;
  return { table: `CT-${aluminium ? "A" : "F"}${second ? 2 : 1}`, number: (ordinal - (second ? 1 : 0)) / 2 };
}

/** How long a flask's cluster hung between the dryer and the sand, h. */
export function heldHours(model: Model, { cluster, aluminium, ordinal }: Flask): number {
  const { dryer, number } = model.loadOf(cluster);
  const runs = model.dryers.get(dryer)!;
  const outMs = startOf(runs.schedule, number) + runs.loadLastsMs(number);
  const workedMs = model.key.firstMs + ordinal * (aluminium ? 576_000 : 960_000);
  const filledMs = calendarOf(model.key).clock(workedMs);
  return Math.round((filledMs - outMs) / 360_000) / 10;
}
