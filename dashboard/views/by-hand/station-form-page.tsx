import type { ComponentChildren, JSX } from "preact";
import { picture } from "../../client/picture-store.ts";
import { NotNewest } from "../shell/not-newest.tsx";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { FormTabs, StationChoice } from "./station-choice.tsx";

/** A form of the floor: one station at a time, for a phone and gloves. */
export function StationFormPage<T extends { readonly station: string; readonly stage: string }>(props: {
  readonly here: "by-hand" | "set-up";
  readonly title: string;
  readonly missing: string;
  readonly book: string;
  readonly station: string | null;
  readonly pageOf: (station: string | null) => string;
  /** Where no station has such a form. */
  readonly none: ComponentChildren;
  readonly choose: string;
  /** Where this one has none. */
  readonly nothingAt: (station: string) => string;
  readonly body: (here: T, zone: string, stations: readonly T[], changed: () => void) => JSX.Element;
}): JSX.Element {
  const { title, station } = props;
  const { answer, again } = useAnswer<{ readonly stations: readonly T[] }>(props.book);
  const { value, trouble, refused } = answer.value;
  const floor = picture.value?.floor ?? null;
  if (value === null || floor === null) {
    if (trouble !== null) return <Trouble what={props.missing} why={trouble} refused={refused} />;
    return <WaitingFor what={title} />;
  }
  const { stations } = value;
  const here = stations.find((one) => one.station === station) ?? null;
  const nothing = (at: string): string =>
    floor.stations.some(({ id }) => id === at) ? props.nothingAt(at) : `There is no station ${at}.`;
  const note = stations.length === 0 ? props.none : station === null ? props.choose : nothing(station);
  return (
    <article class="hand-page">
      <header class="title">
        <h1>
          <b>{title}</b>
        </h1>
        {stations.length === 0 ? null : (
          <StationChoice stations={stations} here={here?.station ?? null} pageOf={props.pageOf} />
        )}
        <FormTabs here={props.here} station={station} />
      </header>
      <NotNewest trouble={trouble} />
      {here === null ? <p class="note">{note}</p> : props.body(here, floor.site.zone, stations, again)}
    </article>
  );
}
