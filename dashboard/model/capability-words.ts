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
  /** The large line, about capability proper: `Cpk 1.28`, or `not stated` though performance may be. */
  readonly head: string;
  readonly indices: readonly IndexWords[];
  /** Why an index is not stated. */
  readonly reasons: readonly string[];
  /** What the figures rest on, and cautions. */
  readonly sentences: readonly string[];
}

type Capable = Pick<WireCharacteristic, "capability" | "runWord" | "specification">;

export function capabilityWords(characteristic: Capable, times: SiteTimes): CapabilityWords {
  const { capability } = characteristic;
  const indices = [
    indexWords("Cpk", capability.cpk),
    indexWords("Cp", capability.cp),
    indexWords("Ppk", capability.ppk),
    indexWords("Pp", capability.pp),
  ];
  const reasons = reasonsOf(indices);
  const sentences: string[] = [];
  if (capability.from !== null && capability.to !== null) {
    const from = times.fullDay(Date.parse(capability.from));
    const to = times.fullDay(Date.parse(capability.to));
    sentences.push(`From ${counted(capability.n, characteristic.runWord)}, ${from} to ${to}.`);
  }
  for (const caution of capability.cautions) sentences.push(`${sentenceCase(caution.detail)}.`);
  if (characteristic.specification !== null) {
    sentences.push(`Specification from: ${characteristic.specification.origin}.`);
  }
  const cpk = indices[0]?.value ?? null;
  return { head: cpk === null ? "not stated" : `Cpk ${cpk}`, indices, reasons, sentences };
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

/** Each reason once, with the indices it holds for, unless it holds for all. */
function reasonsOf(indices: readonly IndexWords[]): readonly string[] {
  const names = new Map<string, string[]>();
  for (const { name, refusal } of indices) {
    if (refusal !== null) names.set(refusal, [...(names.get(refusal) ?? []), name]);
  }
  return [...names].map(([reason, of]) =>
    of.length === indices.length ? `${sentenceCase(reason)}.` : `${of.join(" and ")} not stated: ${reason}.`,
  );
}
