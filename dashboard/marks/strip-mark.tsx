import type { JSX } from "preact";
import type { StripModel } from "../model/strip.ts";
import { hatchPath } from "./hatch.ts";
import { Ring } from "./ring.tsx";

/** One station's strip on the one ruler. `stale` hatches what lies after the newest point. */
export function StripMark({ model, stale }: { readonly model: StripModel; readonly stale: boolean }): JSX.Element {
  const { width, height, limits, last } = model;
  return (
    <svg class="strip" width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      {limits === null ? null : (
        <>
          <path class="centre" d={`M0,${limits.centre}H${width}`} />
          <path class="limit" d={`M0,${limits.upper}H${width}M0,${limits.lower}H${width}`} />
        </>
      )}
      {model.gaps.map((gap) => (
        <path key={gap.from} class="hatch" d={hatchPath(gap.from, gap.to, 2, height - 2, 4)} />
      ))}
      <path class="data" d={model.path} />
      {last === null || model.rings.at(-1)?.x === last.x ? null : (
        <circle class="newest" cx={last.x} cy={last.y} r="3" />
      )}
      {model.rings.map((ring) => (
        <Ring
          key={ring.x}
          x={ring.x}
          y={edge(ring.y, height)}
          r={ring.label === "for-review" ? 3 : 4}
          label={ring.label}
        />
      ))}
      {model.beyond === null ? null : (
        <text
          class="beyond"
          x={Math.max(34, model.beyond.x - 11)}
          y={model.beyond.y < height / 2 ? 10 : height - 3}
          text-anchor="end"
        >
          {model.beyond.text}
        </text>
      )}
      {stale ? <path class="hatch" d={hatchPath((last?.x ?? 0) + 2, width, 0, height)} /> : null}
    </svg>
  );
}

/** Keeps a ring whole at the strip's edge. */
function edge(y: number, height: number): number {
  return Math.min(height - 5, Math.max(5, y));
}
