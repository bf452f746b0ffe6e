import { type Signal, signal } from "@preact/signals";
import type { WireFlag } from "../../api/contract/wire.ts";

/** Words in the two live regions: `alert` interrupts, `status` waits for a pause. */
export const spoken: Signal<{ readonly alert: string; readonly status: string }> = signal({ alert: "", status: "" });

const everyMs = 10_000;

let urgent: string[] = [];
let calm: string[] = [];
let saidAt = Number.NEGATIVE_INFINITY;
let timer = 0;

/** Tells a screen reader of new flags: Act now as an alert, Look and instrument faults politely, reviews not at all. */
export function announceFlags(flags: readonly WireFlag[]): void {
  for (const flag of flags) {
    if (flag.late || flag.label === "for-review") continue;
    const words = `${flag.station} ${flag.says}`;
    if (flag.label === "act-now") urgent.push(flag.doFirst === null ? words : `${words}. ${flag.doFirst}`);
    else calm.push(words);
  }
  if (urgent.length + calm.length === 0 || timer !== 0) return;
  timer = window.setTimeout(say, Math.max(0, saidAt + everyMs - performance.now()));
}

/** One announcement at a time: what gathered meanwhile is merged, and the polite ones wait for the urgent. */
function say(): void {
  timer = 0;
  saidAt = performance.now();
  if (urgent.length > 0) {
    spoken.value = { alert: merged("Act now", urgent), status: "" };
    urgent = [];
  } else {
    spoken.value = { alert: "", status: merged("Look this shift", calm) };
    calm = [];
  }
  if (calm.length > 0) timer = window.setTimeout(say, everyMs);
}

function merged(label: string, words: readonly string[]): string {
  const [first, ...rest] = words;
  return rest.length === 0 ? `${label}: ${first}` : `${label}: ${words.length} new flags. First: ${first}`;
}
