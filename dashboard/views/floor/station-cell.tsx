import type { CSSProperties, JSX } from "preact";
import { useMemo } from "preact/hooks";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { picture, pictureMs } from "../../client/picture-store.ts";
import { Glyph } from "../../marks/glyph.tsx";
import { StripMark } from "../../marks/strip-mark.tsx";
import { byUrgency, labelWords } from "../../model/flag-words.ts";
import type { FloorChart } from "../../model/floor.ts";
import { type FloorCell, type FreshWord, freshWord } from "../../model/floor-plan.ts";
import { missingLimits } from "../../model/limit-words.ts";
import { figure } from "../../model/numbers.ts";
import { type Picture, stripPlaces } from "../../model/picture.ts";
import { stripTrouble } from "../../model/source-words.ts";
import { stripModel } from "../../model/strip.ts";
import { ageWord } from "../../model/times.ts";
import { unitWord } from "../../model/units.ts";
import { ValueText } from "../shell/value-text.tsx";

export interface StationCellProps {
  readonly cell: FloorCell;
  readonly picture: Picture;
  readonly width: number;
  readonly stripHeight: number;
  readonly place: CSSProperties;
}

/** A station's place on the Floor. Drawn anew when its points, flags or size change, not with every second's values. */
export function StationCell(props: StationCellProps): JSX.Element {
  const { cell, width, stripHeight } = props;
  const { floor, flags } = props.picture;
  const fresh = freshWord(cell.freshness);
  return useMemo(
    () =>
      cell.main === null ? (
        <Uncharted {...props} fresh={fresh} />
      ) : (
        <Station {...props} main={cell.main} fresh={fresh} />
      ),
    [cell.main?.characteristic, cell.main?.points, cell.row, floor.flags, flags, fresh, width, stripHeight],
  );
}

function Uncharted({ cell, fresh, place }: StationCellProps & { readonly fresh: FreshWord }): JSX.Element {
  return (
    <div class="station" data-station={cell.station.id} data-fresh={fresh} data-points={0} style={place}>
      <p class="name">{cell.station.id}</p>
      <p class="note">No run yet: its charts begin with the first.</p>
    </div>
  );
}

function Station(props: StationCellProps & { readonly main: FloorChart; readonly fresh: FreshWord }): JSX.Element {
  const { cell, main, fresh, picture, place } = props;
  const { characteristic } = main;
  const flag = byUrgency(picture.floor.flags.filter((one) => one.station === cell.station.id))[0] ?? null;
  const onStrip = byUrgency(picture.floor.flags.filter((one) => one.characteristic === characteristic.id))[0] ?? null;
  const valueAt = main.points.at(-1)?.at ?? characteristic.latest?.at ?? null;
  const missing = missingLimits(characteristic);
  // The value wears the colour only while it is itself part of what must be acted on.
  const latest = main.points.at(-1);
  const acts = onStrip?.label === "act-now" && latest?.flag === onStrip.id && latest.signals.length > 0;
  return (
    <a
      class={`station fresh-${fresh}${acts ? " act" : ""}`}
      href={pages.evidence(characteristic.id, onStrip?.id)}
      data-station={cell.station.id}
      data-characteristic={characteristic.id}
      data-quantity={characteristic.quantity}
      data-points={main.points.filter((point) => point.location.value !== null).length}
      data-fresh={fresh}
      style={place}
    >
      <span class="name">
        <b>{cell.station.id}</b>
        {characteristic.part === null ? null : <span class="part">{characteristic.part}</span>}
        {flag === null ? <AgeText station={cell.station.id} at={valueAt} /> : <FlagMark flag={flag} />}
      </span>
      <Strip {...props} stale={fresh === "stale"} />
      <span class="reading">
        <span class="measure">{characteristic.name}</span>
        <Latest main={main} />
      </span>
      <span class="ticks">
        <Ticks others={cell.others} flags={picture.floor.flags} />
        {missing === null ? null : <span class="missing">{missing}</span>}
        {flag === null ? null : <AgeText station={cell.station.id} at={valueAt} />}
      </span>
    </a>
  );
}

function FlagMark({ flag }: { readonly flag: WireFlag }): JSX.Element {
  return (
    <span class="mark">
      <span class="unseen">{labelWords(flag.label)}</span>
      <Glyph label={flag.label} px={20} />
    </span>
  );
}

function Strip(props: StationCellProps & { readonly main: FloorChart; readonly stale: boolean }): JSX.Element {
  const { main, picture, width, stripHeight, stale } = props;
  const model = useMemo(
    () =>
      stripModel(main.characteristic, main.points, picture.flags, {
        width,
        height: stripHeight,
        right: stale ? 44 : 14,
        places: stripPlaces,
      }),
    [main.characteristic, main.points, picture.flags, width, stripHeight, stale],
  );
  // For a moment, while the window is made narrower, there is no room for it.
  return width > 0 ? <StripMark model={model} stale={stale} /> : <></>;
}

function Latest({ main }: { readonly main: FloorChart }): JSX.Element {
  const { characteristic, points } = main;
  const latest = points.at(-1) ?? characteristic.latest;
  const unit = unitWord(characteristic.unit, characteristic.reference, characteristic.quantity);
  const value = latest?.location.value ?? null;
  if (latest === null || latest === undefined) return <span class="latest none">no runs yet</span>;
  if (value === null) return <span class="latest none">no value</span>;
  return (
    <span class="latest">
      <ValueText value={figure(value, characteristic.digits)} unit={unit} />
    </span>
  );
}

/** One ring for each of the station's other charts, filled when a flag is open on it. */
function Ticks(props: { readonly others: readonly FloorChart[]; readonly flags: readonly WireFlag[] }): JSX.Element {
  const flagged = new Map(props.flags.map((flag) => [flag.characteristic, flag]));
  return (
    <span class="rings">
      {props.others.map(({ characteristic }) => {
        const flag = flagged.get(characteristic.id);
        const words = `${characteristic.name} ${characteristic.part ?? ""}`.trim();
        return (
          <span
            key={characteristic.id}
            class={flag === undefined ? "tick" : `tick filled tick-${flag.label}`}
            title={flag === undefined ? words : `${words}: ${labelWords(flag.label)}`}
          />
        );
      })}
    </span>
  );
}

interface AgeTextProps {
  readonly station: string;
  /** When the value was. */
  readonly at: string | null;
}

/** How old the value is; or that its source is silent, behind, or has something wrong with it. Read from the picture itself, second by second. */
function AgeText({ station, at }: AgeTextProps): JSX.Element {
  const freshness = picture.value?.floor.freshness.find((one) => one.station === station) ?? null;
  const now = pictureMs.value;
  const trouble = freshness === null ? null : stripTrouble(freshness);
  const refused = freshness !== null && freshness.refused !== null;
  if (freshness?.state === "silent" && !refused) {
    const long = freshness.newest === null ? "" : ` for ${ageWord(now - Date.parse(freshness.newest))}`;
    return <span class="age">no news{long}</span>;
  }
  // A clock that is behind looks like a source that catches up, for ever; one that is refused, like one that is silent.
  if (trouble !== null && (refused || freshness?.clockWrong !== null || freshness.state === "live")) {
    return (
      <span class="age trouble" data-trouble>
        {trouble}
      </span>
    );
  }
  if (freshness?.state === "catching-up" && freshness.newest !== null) {
    return <span class="age">{ageWord(now - Date.parse(freshness.newest))} behind</span>;
  }
  if (freshWord(freshness) === "never") return <span class="age">no news yet</span>;
  return <span class="age">{at === null ? "" : ageWord(now - Date.parse(at))}</span>;
}
