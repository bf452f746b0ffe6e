import { scaleLinear } from "d3-scale";
import type { JSX } from "preact";
import type { WireLadle } from "../../api/contract/wire.ts";
import { figure } from "../model/numbers.ts";

const size = { width: 360, height: 132 };
const margin = { left: 44, right: 12, top: 12, bottom: 26 };

/** First metal by position over the ladle's own line; dotted, what no flask should be below. */
export function LadleMark({ ladle }: { readonly ladle: WireLadle }): JSX.Element | null {
  const there = ladle.flasks.filter(({ value }) => value !== null);
  if (there.length === 0) return null;
  const values = there.flatMap(({ value, expected }) => [value!, ...(expected === null ? [] : [expected])]);
  const low = Math.min(...values);
  const high = Math.max(...values);
  const room = Math.max(2, (high - low) * 0.1);
  const y = scaleLinear()
    .domain([low - room, high + room])
    .range([size.height - margin.bottom, margin.top]);
  const last = Math.max(...ladle.flasks.map(({ position }) => position), 2);
  const x = scaleLinear()
    .domain([1, last])
    .range([margin.left, size.width - margin.right]);
  const onLine = there.filter(({ expected }) => expected !== null);
  const least = ladle.least !== null && ladle.least > low - room && ladle.least < high + room ? ladle.least : null;
  const words = `First metal by position: ${there.map((one) => `${one.position}: ${figure(one.value!, 0)} °C`).join(", ")}`;
  return (
    <svg class="ladle-mark" viewBox={`0 0 ${size.width} ${size.height}`} role="img" aria-label={words}>
      {y.ticks(4).map((tick) => (
        <g key={tick}>
          <line class="grid" x1={margin.left} x2={size.width - margin.right} y1={y(tick)} y2={y(tick)} />
          <text x={margin.left - 6} y={y(tick) + 4} text-anchor="end">
            {figure(tick, 0)}
          </text>
        </g>
      ))}
      {least === null ? null : (
        <line class="least" x1={margin.left} x2={size.width - margin.right} y1={y(least)} y2={y(least)} />
      )}
      {onLine.length < 2 ? null : (
        <path
          class="fit"
          d={onLine
            .map(({ position, expected }, at) => `${at === 0 ? "M" : "L"}${x(position)},${y(expected!)}`)
            .join("")}
        />
      )}
      {there.map(({ position, value }) => (
        <circle key={position} cx={x(position)} cy={y(value!)} r={3.2} />
      ))}
      {ladle.flasks.map(({ position }) => (
        <text key={position} x={x(position)} y={size.height - 8} text-anchor="middle">
          {position}
        </text>
      ))}
    </svg>
  );
}
