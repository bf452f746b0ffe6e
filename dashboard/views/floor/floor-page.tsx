import { useComputed } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useMemo } from "preact/hooks";
import { picture } from "../../client/picture-store.ts";
import { rememberPlaces } from "../../client/places.ts";
import type { Floor } from "../../model/floor.ts";
import { floorPlan } from "../../model/floor-plan.ts";
import { siteTimes } from "../../model/times.ts";
import { ClockWrong } from "../shell/clock-wrong.tsx";
import { DoorTrouble } from "../shell/door-trouble.tsx";
import { FloorOutlines } from "./floor-outlines.tsx";
import { StationGrid } from "./station-grid.tsx";
import { WaitingBand } from "./waiting-band.tsx";

/** No shift works: what the strips show was made before. */
function FreeTime({ floor: { free, site } }: { readonly floor: Floor }): JSX.Element | null {
  if (free === null) return null;
  const { weekday } = siteTimes(site.zone);
  return (
    <p class="note free" role="status" data-free>
      No shift works since {weekday(Date.parse(free.since))}; the next begins {weekday(Date.parse(free.until))}. Values
      are of the last runs before.
    </p>
  );
}

/** Anything waiting, then all stations in process order. */
export function FloorPage(): JSX.Element {
  const now = picture.value;
  const plan = useComputed(() => (picture.value === null ? null : floorPlan(picture.value.floor)));
  useEffect(() => {
    if (now !== null) rememberPlaces(now.floor);
  }, [now]);
  const floor = now?.floor;
  // The same node again is not looked into: a second's values leave the band alone.
  const band = useMemo(
    () => (now === null ? null : <WaitingBand picture={now} />),
    [floor?.flags, floor?.characteristics, floor?.stations, floor?.lastWaitingEnded],
  );
  if (now === null || plan.value === null) return <FloorOutlines />;
  return (
    <>
      <h1 class="unseen">Floor</h1>
      <DoorTrouble />
      <ClockWrong />
      {now.floor.free === null ? null : <FreeTime floor={now.floor} />}
      {band}
      {plan.value.cells.length === 0 ? (
        <p class="note">No charts yet. Ask the process engineer to add a measurement to the site's settings.</p>
      ) : (
        <StationGrid plan={plan.value} picture={now} />
      )}
    </>
  );
}
