import type { JSX } from "preact";
import { picture, pictureMs } from "../../client/picture-store.ts";
import { clocksAhead } from "../../model/clocks.ts";
import { ageWord } from "../../model/times.ts";

/** A banner while a source stamps its readings ahead of time. Points stay in the order of their own times. */
export function ClockWrong(): JSX.Element | null {
  const wrong = clocksAhead(picture.value?.floor.freshness ?? [], pictureMs.value);
  if (wrong.length === 0) return null;
  const each = wrong.map(({ source, aheadMs }) => `${source} by ${ageWord(aheadMs)}`);
  return (
    <p class="note clock-wrong" role="status" data-clock-wrong={wrong.map(({ source }) => source).join(" ")}>
      The clock of a source runs ahead of ours: {each.join(", ")}. Times of its points and flags are uncertain.
    </p>
  );
}
