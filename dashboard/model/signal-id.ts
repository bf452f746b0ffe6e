/** What a signal's id tells: `${limitSet or characteristic}/${run}/${on}/${rule}/${side}`. */
export interface SignalParts {
  readonly on: "location" | "spread" | "specification";
  readonly rule: string;
  readonly side: "above" | "below";
}

export function signalParts(id: string): SignalParts | null {
  const [side, rule, on] = id.split("/").reverse();
  if (rule === undefined || (side !== "above" && side !== "below")) return null;
  if (on !== "location" && on !== "spread" && on !== "specification") return null;
  return { on, rule, side };
}
