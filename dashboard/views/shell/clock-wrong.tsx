import type { JSX } from "preact";
import { picture, pictureMs } from "../../client/picture-store.ts";
import { offByWords, oursMayBeWrong, wrongClocks } from "../../model/clocks.ts";

/** A banner while the clock of a source differs from ours. Points stay in the order of their own times. */
export function ClockWrong(): JSX.Element | null {
  const freshness = picture.value?.floor.freshness ?? [];
  const wrong = wrongClocks(freshness, pictureMs.value);
  if (wrong.length === 0) return null;
  const each = wrong.map(({ source, aheadMs }) => `${source} ${offByWords(aheadMs)}`);
  return (
    <p class="note clock-wrong" role="status" data-clock-wrong={wrong.map(({ source }) => source).join(" ")}>
      The clock of a source differs from ours: {each.join(", ")}.
      {oursMayBeWrong(wrong, freshness) ? " All differ alike, so the wrong one may be ours." : ""} Times of its points
      and flags are uncertain.
    </p>
  );
}
