import type { WireCapability, WireCharacteristic } from "../../api/contract/wire.ts";
import { counted, indexFigure, sentenceCase } from "./numbers.ts";
import type { SiteTimes } from "./times.ts";

type Index = WireCapability["cp"];

/** One index: its number with interval, or why it is not stated. */
export interface IndexWords {
  readonly name: "Cpk" | "Cp" | "Ppk" | "Pp";
  readonly value: string | null;
  readonly interval: string | null;
  readonly refusal: string | null;
}

export interface CapabilityWords {
  /** The large line: `Cpk 1.28`, or `not stated`. */
  readonly head: string;
  readonly indices: readonly IndexWords[];
  /** What it rests on, reasons and cautions. */
  readonly sentences: readonly string[];
}

export function capabilityWords(characteristic: WireCharacteristic, times: SiteTimes): CapabilityWords {
  const { capability } = characteristic;
  const indices = [
    indexWords("Cpk", capability.cpk),
    indexWords("Cp", capability.cp),
    indexWords("Ppk", capability.ppk),
    indexWords("Pp", capability.pp),
  ];
  const best = indices.find((one) => one.value !== null);
  const reasons = [...new Set(indices.flatMap((one) => one.refusal ?? []))];
  const sentences = reasons.map((reason) => `${sentenceCase(reason)}.`);
  if (capability.from !== null && capability.to !== null) {
    const from = times.fullDay(Date.parse(capability.from));
    const to = times.fullDay(Date.parse(capability.to));
    sentences.push(`From ${counted(capability.n, characteristic.runWord)}, ${from} to ${to}.`);
  }
  for (const caution of capability.cautions) sentences.push(`${sentenceCase(caution.detail)}.`);
  if (characteristic.specification !== null) {
    sentences.push(`Specification from: ${characteristic.specification.origin}.`);
  }
  return { head: best === undefined ? "not stated" : `${best.name} ${best.value}`, indices, sentences };
}

function indexWords(name: IndexWords["name"], index: Index): IndexWords {
  if ("refusal" in index) return { name, value: null, interval: null, refusal: index.refusal.detail };
  const percent = Math.round(index.confidence * 100);
  return {
    name,
    value: indexFigure(index.estimate),
    interval: `between ${indexFigure(index.lower)} and ${indexFigure(index.upper)} (${percent} %)`,
    refusal: null,
  };
}
