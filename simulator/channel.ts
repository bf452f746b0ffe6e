import { cut, type Happening, remembering, type Track, type Values } from "./emission.ts";
import type { PlantKey } from "./plant-layout.ts";
import { quickNormal, randomAt } from "./random.ts";

const hourMs = 3_600_000;

/** A reading that never stops. `everyMs` divides an hour. */
export interface Channel {
  readonly role: string;
  readonly unit: string;
  readonly everyMs: number;
  readonly digits: number;
  /** Standard deviation of the instrument's noise. */
  readonly sd: number;
  /** What it would read without noise. */
  readonly at: (tMs: number) => number;
  /** Readings never leave this range: a ratio stays between 0 and 100. */
  readonly range?: readonly [number, number];
}

/** Channels of one station in fromMs <= t < toMs; made an hour of the clock at a time. */
export function steady(
  key: PlantKey,
  station: string,
  channels: readonly Channel[],
): (fromMs: number, toMs: number) => Values[] {
  const hours = channels.map((channel) => remembering((hour) => hourOf(key, station, channel, hour), 2));
  return (fromMs, toMs) => {
    const out: Values[] = [];
    for (let hour = Math.floor(fromMs / hourMs); hour * hourMs < toMs; hour += 1) {
      for (const track of hours) out.push(...cut(track(hour), fromMs, toMs));
    }
    return out;
  };
}

function hourOf(key: PlantKey, station: string, channel: Channel, hour: number): Track {
  const { role, unit, everyMs, digits, sd, at, range } = channel;
  const startMs = hour * hourMs;
  const noise = quickNormal(randomAt(key.seed, station, hour, role));
  const values = new Float64Array(hourMs / everyMs);
  for (let i = 0; i < values.length; i += 1) {
    const value = at(startMs + i * everyMs) + sd * noise();
    values[i] = range === undefined ? value : Math.min(range[1], Math.max(range[0], value));
  }
  return { series: `${station}/${role}`, unit, digits, startMs, everyMs, values };
}

/** Readings of a run: so many from its start on, each with the instrument's noise. */
export function runTrack(
  key: PlantKey,
  station: string,
  number: number,
  channel: Channel,
  startMs: number,
  lastsMs: number,
): Track {
  const { role, unit, everyMs, digits, sd, at, range } = channel;
  const noise = quickNormal(randomAt(key.seed, station, number, role));
  const values = new Float64Array(Math.max(0, Math.ceil(lastsMs / everyMs)));
  for (let i = 0; i < values.length; i += 1) {
    const value = at(startMs + i * everyMs) + sd * noise();
    values[i] = range === undefined ? value : Math.min(range[1], Math.max(range[0], value));
  }
  return { series: `${station}/${role}`, unit, digits, startMs, everyMs, values };
}

/** A single reading. */
export function single(station: string, role: string, unit: string, digits: number, tMs: number, value: number): Track {
  return { series: `${station}/${role}`, unit, digits, startMs: tMs, everyMs: 1000, values: [value] };
}

type Attributes = Readonly<Record<string, string>>;

export function happening(
  station: string,
  role: string,
  tMs: number,
  value: number,
  attributes: Attributes = {},
): Happening {
  return { kind: "event", series: `${station}/${role}`, tMs, value, attributes };
}

/** 1 where something begins and 0 where it ends, with the same attributes. */
export function marks(
  station: string,
  role: string,
  fromMs: number,
  toMs: number,
  attributes: Attributes,
): Happening[] {
  return [happening(station, role, fromMs, 1, attributes), happening(station, role, toMs, 0, attributes)];
}
