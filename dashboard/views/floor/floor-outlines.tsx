import type { JSX } from "preact";
import { knownPlaces } from "../../client/places.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";

/** The Floor's fixed outlines while the first data are on their way; with names where this device knows them. */
export function FloorOutlines(): JSX.Element {
  const places = knownPlaces();
  const stages = places?.stages ?? ["", "", "", "", ""];
  return (
    <WaitingFor what="Floor">
      <div class="band outline" />
      <div class="stations outlines">
        {stages.map((stage, index) => (
          <div key={index} class="outline-column">
            <h2>{stage || "\u00a0"}</h2>
            {(places?.stations.filter((one) => one.stage === stage) ?? [null, null]).map((station, row) => (
              <div key={station?.id ?? row} class="outline-station">
                {station?.id}
                <span />
              </div>
            ))}
          </div>
        ))}
      </div>
    </WaitingFor>
  );
}
