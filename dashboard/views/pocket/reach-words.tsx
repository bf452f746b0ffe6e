import type { JSX } from "preact";
import { clockTime, plant, reached } from "../../pocket/pocket-state.ts";

/** Whether what stands above is the plant's word, and of when. */
export function ReachWords(): JSX.Element {
  return (
    <p role="status" class={reached.value === false ? "reach cut" : "reach"} data-reached={String(reached.value)}>
      {words()}
    </p>
  );
}

function words(): string {
  if (reached.value === true) return "Plant reached";
  if (reached.value === null) return "Asking the plant…";
  const atMs = plant.value?.atMs;
  const last = atMs === undefined ? "" : `, last at ${clockTime(atMs)}`;
  return `Plant not reached${last}. Trying again every 5 s.`;
}
