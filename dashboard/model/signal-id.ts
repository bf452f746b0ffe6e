/** What a signal's id tells: `${limitSet or characteristic}/${run}/${on}/${rule}/${side}`. */
export interface SignalParts {
  readonly on: "location" | "spread" | "specification";
  readonly rule: string;
  readonly side: "above" | "below";
  /** The run that gave it. */
  readonly run: string | null;
}

export function signalParts(id: string): SignalParts | null {
  const [side, rule, on, run] = id.split("/").reverse();
  if (rule === undefined || (side !== "above" && side !== "below")) return null;
  if (on !== "location" && on !== "spread" && on !== "specification") return null;
  return { on, rule, side, run: run ?? null };
}
