import type { JSX } from "preact";
import { amend } from "../../client/route.ts";

/** The station that a form is for, by stage. */
export function StationChoice(props: {
  readonly stations: readonly { readonly station: string; readonly stage: string }[];
  readonly here: string | null;
  readonly pageOf: (station: string | null) => string;
}): JSX.Element {
  const stages = [...new Set(props.stations.map(({ stage }) => stage))];
  return (
    <label>
      Station{" "}
      <select value={props.here ?? ""} onChange={(event) => amend(props.pageOf(event.currentTarget.value || null))}>
        <option value="">choose …</option>
        {stages.map((stage) => (
          <optgroup key={stage} label={stage}>
            {props.stations
              .filter((one) => one.stage === stage)
              .map(({ station }) => (
                <option key={station} value={station}>
                  {station}
                </option>
              ))}
          </optgroup>
        ))}
      </select>
    </label>
  );
}

/** The two forms of the floor: what was measured, and what is set up. */
export function FormTabs(props: { readonly here: "by-hand" | "set-up"; readonly station: string | null }): JSX.Element {
  const of = props.station === null ? "" : `/${encodeURIComponent(props.station)}`;
  return (
    <nav class="form-tabs" aria-label="Forms">
      <a href={`/by-hand${of}`} aria-current={props.here === "by-hand" ? "page" : undefined}>
        Values by hand
      </a>
      <a href={`/set-up${of}`} aria-current={props.here === "set-up" ? "page" : undefined}>
        What is set up
      </a>
    </nav>
  );
}
