import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import type { FeatureExtractor } from "../../../../spc/model/run.ts";
import { plainRun } from "./plain-models.ts";
import {
  checkRun,
  dryerRun,
  flaskRun,
  hypereutecticPour,
  ladleRun,
  type ModelRun,
  ovenRun,
  pourRun,
  shotRun,
} from "./plant-models.ts";
import { type Spoil, spoiled, spoils } from "./spoiled.ts";

/** Runs of one kind: how many of them stand in one share of the check, and what their features are told. */
interface Kind {
  readonly name: string;
  readonly run: (seed: number) => ModelRun;
  readonly healthy: number;
  /** Spoiled as they are, and by nothing else. */
  readonly hopeless?: true;
  readonly settings?: Readonly<Record<string, Readonly<Record<string, number>>>>;
}

const matched = { pair: 2 };
const dryerSettings = { "dry.t_end": matched, "dry.water": matched, "dry.water_ratio": matched };
/** A tip that is drawn out before it is hot, and so shows no plateau. */
const hasty = (seed: number): number => 1.2 + (seed % 7) / 10;

export const kinds: readonly Kind[] = [
  { name: "shots", run: shotRun, healthy: 14 },
  { name: "oven loads", run: ovenRun, healthy: 5 },
  { name: "dryer loads", run: dryerRun, healthy: 3, settings: dryerSettings },
  { name: "flasks", run: flaskRun, healthy: 9 },
  { name: "pours", run: pourRun, healthy: 6 },
  { name: "interrupted pours", run: (seed) => pourRun(seed, { gapS: 1 + (seed % 30) / 10 }), healthy: 3 },
  { name: "ladles", run: (seed) => ladleRun(seed, { pours: seed % 3 === 0 ? 12 : 8 }), healthy: 4 },
  { name: "furnace checks", run: checkRun, healthy: 4 },
  { name: "plain runs", run: plainRun, healthy: 14 },
  { name: "ladles with a hasty dip", run: hastyLadle, healthy: 12, hopeless: true },
  { name: "checks with a hasty dip", run: hastyCheck, healthy: 12, hopeless: true },
  {
    ...{ name: "hypereutectic pours", run: hypereutecticPour, healthy: 12, hopeless: true },
    settings: { "pour.superheat": { metal: 2 } },
  },
  { name: "loads under two single probes", run: singleProbes, healthy: 4, hopeless: true },
];

function hastyLadle(seed: number): ModelRun {
  const { trace, truth } = ladleRun(seed, { dwellS: hasty(seed) });
  const only = ["ladle.dip", "pour.pyro_minus_dip"];
  return { trace, truth: Object.fromEntries(only.map((id) => [id, truth[id]!])) };
}

function hastyCheck(seed: number): ModelRun {
  return checkRun(seed, { dwellS: hasty(seed) });
}

/** What a difference of two probes of 2 % each cannot tell. */
function singleProbes(seed: number): ModelRun {
  const { trace } = dryerRun(seed);
  const run = { ...trace.run, context: { pair: "separate" } };
  return { trace: { ...trace, run }, truth: { "dry.t_end": Number.NaN } };
}

const made = new Map<string, FeatureExtractor>();
function extractorOf(id: string, { name, settings }: Kind): FeatureExtractor {
  const key = `${name}/${id}`;
  const known = made.get(key) ?? featureCatalogue[id]!(settings?.[id] ?? {});
  made.set(key, known);
  return known;
}

/** Stated error: the extractor's own, or what the model says of its instruments. */
function statedOf(extractor: FeatureExtractor, { errors }: ModelRun): number | undefined {
  const own = errors?.[extractor.id];
  return extractor.plusMinus === undefined ? own : extractor.plusMinus + (own ?? 0);
}

export interface HealthyErrors {
  readonly off: number[];
  readonly stated: number | undefined;
}

/** Features of healthy runs less the truth; `refused` names those that gave no number. */
export function healthyErrors(shares: number): {
  readonly byFeature: ReadonlyMap<string, HealthyErrors>;
  readonly refused: readonly string[];
} {
  const byFeature = new Map<string, HealthyErrors>();
  const refused: string[] = [];
  for (const kind of kinds) {
    if (kind.hopeless) continue;
    for (let seed = 1; seed <= kind.healthy * shares; seed += 1) {
      const model = kind.run(seed);
      for (const [id, right] of Object.entries(model.truth)) {
        const extractor = extractorOf(id, kind);
        const outcome = extractor.extract(model.trace);
        const known = byFeature.get(id) ?? { off: [], stated: statedOf(extractor, model) };
        byFeature.set(id, known);
        if (outcome.ok) known.off.push(outcome.value - right);
        else refused.push(`${id} of ${kind.name} ${seed}: ${outcome.refusal.code}`);
      }
    }
  }
  return { byFeature, refused };
}

export interface SpoilCount {
  readonly runs: number;
  readonly numbers: number;
  readonly refusals: number;
  /** One line a run that gave a number further from the truth than is stated. */
  readonly lies: readonly string[];
}

/** Feeds spoiled runs straight to the extractors, `shares` times the usual number of each kind. */
export function spoilCheck(shares: number): SpoilCount {
  const lies: string[] = [];
  let [runs, numbers, refusals] = [0, 0, 0];
  const look = (
    kind: Kind,
    model: ModelRun,
    trace: ModelRun["trace"],
    seed: number,
    spoil: Spoil | "as it is",
  ): void => {
    const wrong: string[] = [];
    for (const [id, right] of Object.entries(model.truth)) {
      const extractor = extractorOf(id, kind);
      const outcome = extractor.extract(trace);
      if (!outcome.ok) {
        refusals += 1;
        continue;
      }
      numbers += 1;
      if (spoil !== "as it is" && itsOwn(id, spoil)) continue;
      const within = Math.abs(outcome.value - right) <= (statedOf(extractor, model) ?? 0);
      if (!within) wrong.push(`${id} ${outcome.value.toPrecision(5)} for ${right.toPrecision(5)}`);
    }
    runs += 1;
    if (wrong.length > 0) lies.push(`${kind.name} ${seed}, ${spoil}: ${wrong.join(", ")}`);
  };
  for (const kind of kinds) {
    for (let seed = 1; seed <= kind.healthy * shares; seed += 1) {
      const model = kind.run(seed);
      if (kind.hopeless) look(kind, model, model.trace, seed, "as it is");
      else {
        for (const [i, spoil] of spoils.entries()) {
          const trace = spoiled(model.trace, spoil, seed * 100 + i);
          if (trace !== null) look(kind, model, trace, seed, spoil);
        }
      }
    }
  }
  return { runs, numbers, refusals, lies };
}

/** A stuck or clipped transmitter is what `mold.spread` is for: its truth is the transmitter's, not the chamber's. */
function itsOwn(id: string, spoil: Spoil): boolean {
  return id === "mold.spread" && /^(frozen|clipped)/u.test(spoil);
}
