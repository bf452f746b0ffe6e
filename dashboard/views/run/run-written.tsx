import type { JSX } from "preact";
import type { WireRunSheet } from "../../../api/contract/wire.ts";
import { picture } from "../../client/picture-store.ts";
import { WrittenWords } from "../by-hand/written-words.tsx";

/** What people measured of this run, or of a run by hand the entry that made it. */
export function RunWritten({
  sheet,
  zone,
}: {
  readonly sheet: WireRunSheet;
  readonly zone: string;
}): JSX.Element | null {
  if (sheet.byHand.length === 0) return null;
  const known = (picture.value?.floor.characteristics ?? []).map(({ characteristic }) => characteristic);
  return (
    <section class="written" aria-labelledby="run-written">
      <h2 id="run-written">Written down by hand</h2>
      <ul>
        {sheet.byHand.map((item) => {
          const field = known.find(({ station, feature }) => station === item.station && feature === item.feature);
          return (
            <li key={item.id}>
              <WrittenWords item={item} field={field ?? null} zone={zone} linked={false} />
            </li>
          );
        })}
      </ul>
    </section>
  );
}
