import { labelOrder } from "../model/signal.ts";
import type { FlagState, FlagTable } from "./flag.ts";

/** As a list shows them: open ones first, oldest first, then closed ones, the last closed first. */
export function flagsInListOrder(table: FlagTable): readonly FlagState[] {
  const flags = [...table.values()];
  const open = flags.filter(isOpen).sort((a, b) => a.number - b.number);
  const closed = flags.filter((flag) => !isOpen(flag)).sort((a, b) => closedAt(b) - closedAt(a) || b.number - a.number);
  return [...open, ...closed];
}

/** As the floor shows them: open ones only, most urgent first, then oldest first. */
export function flagsInFloorOrder(table: FlagTable): readonly FlagState[] {
  const urgency = (flag: FlagState): number => labelOrder.indexOf(flag.label);
  return [...table.values()].filter(isOpen).sort((a, b) => urgency(a) - urgency(b) || a.number - b.number);
}

export function isOpen(flag: FlagState): boolean {
  return flag.state !== "done";
}

function closedAt(flag: FlagState): number {
  return flag.done?.atMs ?? 0;
}
