import type { RunTrace } from "../../../../spc/model/run.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { Chance } from "./plant-models.ts";

/** Ways in which a run's readings come to grief, each told by instruments that do not say so unless they are bad. */
export const spoils = [
  "missing-block",
  "missing-here-and-there",
  "bad-block",
  "bad-here-and-there",
  "without-number",
  "frozen",
  "frozen-whole",
  "spikes",
  "cut-short",
  "clipped-high",
  "clipped-low",
  "dropouts",
  "untold",
  "words-lost",
  "inner-runs-lost",
] as const;

export type Spoil = (typeof spoils)[number];

/**
 * The same run with one of its signals spoiled, or with what was told of it; `cut-short` spoils all. Null where it has
 * nothing that the spoil could touch.
 */
export function spoiled(trace: RunTrace, spoil: Spoil, seed: number): RunTrace | null {
  const chance = new Chance(seed);
  if (spoil === "cut-short")
    return cutShort(trace, chance.between(0.05, 0.95), chance.uniform() < 0.5 ? "gap" : "timeout");
  if (spoil === "words-lost") return withoutWord(trace, chance);
  if (spoil === "inner-runs-lost") return withoutInner(trace, chance);
  const sparse = spoil === "untold";
  const roles = Object.keys(trace.samples).filter((role) => {
    const { length } = trace.samples[role]!;
    return sparse ? length > 0 && length <= 20 : length > 20;
  });
  const role = roles[Math.floor(chance.uniform() * roles.length)];
  if (role === undefined) return null;
  const samples = trace.samples[role]!;
  const after = sparse ? untold(samples, chance) : changed(samples, spoil, chance);
  return { ...trace, samples: { ...trace.samples, [role]: after } };
}

/** Single values that nobody told, or that came without a good number. */
function untold(samples: readonly Sample[], chance: Chance): readonly Sample[] {
  const how = chance.uniform();
  if (how < 0.4) return [];
  return samples.map((one) => ({
    ...one,
    value: how < 0.7 ? null : one.value,
    quality: how < 0.7 ? "uncertain" : "bad",
  }));
}

/** One word of the run's context lost, or no longer what it should be. */
function withoutWord(trace: RunTrace, chance: Chance): RunTrace | null {
  const words = Object.keys(trace.run.context);
  const word = words[Math.floor(chance.uniform() * words.length)];
  if (word === undefined) return null;
  const { [word]: _, ...rest } = trace.run.context;
  const garbled = ["", "n/a", "1,5", "12 h", "-"][Math.floor(chance.uniform() * 5)]!;
  const context = chance.uniform() < 0.5 ? rest : { ...rest, [word]: garbled };
  return { ...trace, run: { ...trace.run, context } };
}

/** Some of the runs inside lost, or without a number. */
function withoutInner(trace: RunTrace, chance: Chance): RunTrace | null {
  if (trace.inside === undefined) return null;
  const share = chance.between(0.1, 0.9);
  const inside = trace.inside.map(({ run, features }) => ({
    run,
    features: chance.uniform() < share ? features.map((one) => ({ ...one, value: null })) : features,
  }));
  return { ...trace, inside };
}

function changed(samples: readonly Sample[], spoil: Spoil, chance: Chance): readonly Sample[] {
  const n = samples.length;
  const length = Math.floor(n * chance.between(0.05, 0.6));
  const from = Math.floor(chance.uniform() * (n - length));
  const inBlock = (i: number): boolean => i >= from && i < from + length;
  const share = chance.between(0.05, 0.6);
  const values = samples.map(({ value }) => value ?? 0);
  const ordered = [...values].sort((a, b) => a - b);
  const [low, high] = [ordered[0]!, ordered.at(-1)!];
  const level = ordered[Math.floor(chance.between(0.05, 0.6) * n)]!;
  const often = chance.between(0.002, 0.03);
  switch (spoil) {
    case "missing-block":
      return samples.filter((_, i) => !inBlock(i));
    case "missing-here-and-there":
      return samples.filter(() => chance.uniform() > share);
    case "bad-block":
      return samples.map((one, i) => (inBlock(i) ? { ...one, value: null, quality: "bad" } : one));
    case "bad-here-and-there":
      return samples.map((one) => (chance.uniform() < share ? { ...one, value: -999, quality: "bad" } : one));
    case "without-number":
      return samples.map((one) => (chance.uniform() < share ? { ...one, value: null, quality: "uncertain" } : one));
    case "frozen":
      return samples.map((one, i) => (inBlock(i) ? { ...one, value: values[from]! } : one));
    case "frozen-whole":
      return samples.map((one) => ({ ...one, value: values[from]! }));
    case "spikes":
      return samples.map((one, i) => {
        if (chance.uniform() >= often) return one;
        const sign = chance.uniform() < 0.5 ? -1 : 1;
        return { ...one, value: values[i]! + sign * chance.between(0.05, 0.2) * (high - low) };
      });
    case "clipped-high":
      return samples.map((one, i) => ({ ...one, value: Math.min(values[i]!, low + high - level) }));
    case "dropouts":
      // A cable that comes loose: nothing where there is something.
      return samples.map((one) => (chance.uniform() < share / 3 ? { ...one, value: 0 } : one));
    case "clipped-low":
      return samples.map((one, i) => ({ ...one, value: Math.max(values[i]!, level) }));
    default:
      return samples;
  }
}

function cutShort(trace: RunTrace, share: number, closedBy: "gap" | "timeout"): RunTrace {
  const { run } = trace;
  const endMs = run.startMs + Math.floor(share * (run.endMs - run.startMs));
  const segments = run.segments
    .filter(({ fromMs }) => fromMs < endMs)
    .map((one) => ({ ...one, toMs: Math.min(one.toMs, endMs) }));
  const samples = Object.fromEntries(
    Object.entries(trace.samples).map(([role, all]) => [role, all.filter(({ tMs }) => tMs < endMs)]),
  );
  const inside = trace.inside?.filter(({ run: one }) => one.endMs <= endMs);
  return { ...trace, run: { ...run, endMs, closedBy, segments }, samples, ...(inside === undefined ? {} : { inside }) };
}
