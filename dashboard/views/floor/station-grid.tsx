import type { JSX } from "preact";
import { bandRows, phoneWidth, rowHeight, windowSize } from "../../client/window-size.ts";
import { floorLayout } from "../../model/floor-layout.ts";
import type { FloorPlan } from "../../model/floor-plan.ts";
import type { Picture } from "../../model/picture.ts";
import { StationCell } from "./station-cell.tsx";

/** What stands above and below the rows on a desk screen beside the band: header, stage names, footer. */
const surroundings = 54 + 62 + 52;
/** Name, value and ticks of one station, beside its strip. */
const words = 80;
/** Narrower than this a strip tells nothing. */
const narrowest = 150;

/**
 * Stages from left to right, stations below one another, so that each row is one ruler laid across the plant. A plant
 * longer than the window is wide goes on in a further band.
 */
export function StationGrid({ plan, picture }: { readonly plan: FloorPlan; readonly picture: Picture }): JSX.Element {
  const { width, height } = windowSize.value;
  const phone = width < phoneWidth;
  const side = phone ? 16 : 24;
  const layout = floorLayout(plan, Math.floor((width - 2 * side) / narrowest));
  const { columns } = layout;
  const cellWidth = phone ? width - 2 * side : Math.max(narrowest, Math.floor((width - 2 * side) / columns));
  const free = (height - surroundings - bandRows(height) * rowHeight) / Math.max(1, layout.rows) - words;
  const stripHeight = phone ? 60 : Math.round(Math.min(110, Math.max(52, free)));
  return (
    <section
      class={phone ? "stations phone" : "stations"}
      aria-label="Stations in process order"
      style={phone ? {} : { gridTemplateColumns: `repeat(${columns}, ${cellWidth}px)` }}
    >
      {layout.stages.map(({ stage, column, span, row, cells }) => [
        <h2 key={stage} style={phone ? {} : { gridColumn: `${column} / span ${span}`, gridRow: row }}>
          {stage}
        </h2>,
        ...cells.map(({ cell, ...place }) => (
          <StationCell
            key={cell.station.id}
            cell={cell}
            picture={picture}
            width={cellWidth}
            stripHeight={stripHeight}
            place={phone ? {} : { gridColumn: place.column, gridRow: place.row }}
          />
        )),
      ])}
    </section>
  );
}
