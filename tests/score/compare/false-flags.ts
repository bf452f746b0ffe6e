import type { JournalEntry } from "../../../spc/model/journal-entry.ts";
import { type FlagLabel, labelOrder } from "../../../spc/model/signal.ts";

/** Flags that a plant without faults opened, of one feature, rule and urgency. */
export interface FalseFlags {
  readonly label: FlagLabel;
  readonly feature: string;
  /** What opened it: the rule, and which chart or line it is of. */
  readonly rule: string;
  readonly count: number;
}

/** Each flag once, by its most urgent signal. A person closes each within the hour, so what goes on opens another. */
export function falseFlags(entries: readonly JournalEntry[]): FalseFlags[] {
  const flags = new Map<string, { readonly feature: string; readonly rule: string; readonly label: FlagLabel }>();
  for (const entry of entries) {
    if (entry.kind === "instrument" && entry.body.state === "began") {
      const { flag, role, check } = entry.body;
      if (!flags.has(flag)) flags.set(flag, { label: "instrument-fault", feature: role, rule: check });
    }
    if (entry.kind !== "signal") continue;
    const { flag, characteristic, rule, on, label } = entry.body.signal;
    const known = flags.get(flag);
    if (known !== undefined && labelOrder.indexOf(known.label) <= labelOrder.indexOf(label)) continue;
    flags.set(flag, { label, feature: characteristic.split(":")[1]!, rule: `${rule} of ${on}` });
  }
  return summed([...flags.values()].map((one) => ({ ...one, count: 1 })));
}

/** Of several plants together, the most frequent first within each urgency. */
export function summed(all: readonly FalseFlags[]): FalseFlags[] {
  const sums = new Map<string, FalseFlags>();
  for (const one of all) {
    const key = `${one.label} ${one.feature} ${one.rule}`;
    sums.set(key, { ...one, count: one.count + (sums.get(key)?.count ?? 0) });
  }
  return [...sums.values()].sort(
    (a, b) => labelOrder.indexOf(a.label) - labelOrder.indexOf(b.label) || b.count - a.count,
  );
}
