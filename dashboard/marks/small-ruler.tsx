import type { JSX } from "preact";

/** The one ruler, small: where a feature stands between its limits, at 20 % and 80 % of the length. */
export function SmallRuler({ place, flagged }: { readonly place: number; readonly flagged: boolean }): JSX.Element {
  const width = 104;
  const x = 4 + place * (width - 8);
  return (
    <svg class="small-ruler" width={width} height="20" viewBox={`0 0 ${width} 20`} aria-hidden="true">
      <path class="track" d={`M0,10H${width}`} />
      <path class="limit" d={`M${4 + 0.2 * (width - 8)},3V17M${4 + 0.8 * (width - 8)},3V17`} />
      <circle class={flagged ? "flagged" : "newest"} cx={x} cy="10" r="4.5" />
      {flagged ? <circle class="flagged-rim" cx={x} cy="10" r="7.5" /> : null}
    </svg>
  );
}
