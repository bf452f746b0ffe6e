import type { PlantKey } from "../plant-layout.ts";
import { normalTable, randomAt } from "../random.ts";
import { type Flask, tableSeconds, tableStages, wallShare } from "../runs/flask.ts";

/** Everything one second of a table's shaking follows from. */
export interface Shaking {
  readonly key: PlantKey;
  readonly station: string;
  readonly number: number;
  readonly flask: Flask;
  readonly motorOut: boolean;
  readonly lostSync: boolean;
  /** Sizes; 0 for none. */
  readonly looseClamp: number;
  readonly looseSensor: number;
  readonly bearing: number;
  /** Share of the samples that a bad cable loses. */
  readonly dropouts: number;
  readonly reversed: boolean;
  readonly rateHz: number;
  readonly scale: number;
}

/** Amplitude is held for this many samples: a 32nd of a second. */
const held = 64;
const spinUpSeconds = 0.8;
const sandSeconds = 12;
const coastHz = 10;
const ringHz = 420;
const ringSeconds = 0.004;
/** The table goes nowhere for being struck, so the ring must add up to nothing. */
const ringPhase = -Math.atan(2 * Math.PI * ringHz * ringSeconds);
const cosOne = Math.cos(1);
const sinOne = Math.sin(1);
const cosTwo = Math.cos(2);
const sinTwo = Math.sin(2);

export interface Second {
  readonly x: Int16Array;
  readonly y: Int16Array;
  readonly z: Int16Array;
  /** On the flask's wall. */
  readonly wall: Int16Array;
}

/** Two motors out of step drift apart by so many hertz. */
const beatHz = 0.35;

/**
 * One second of x, y and z as 16-bit counts. Two counter-rotating motors in step push up and down and cancel sideways;
 * with one of them out the push is half as strong and turns. z carries gravity.
 */
export function shake(s: Shaking, second: number): Second {
  const { flask, rateHz } = s;
  const noise = normalTable();
  const random = randomAt(s.key.seed, s.station, s.number, `noise-${second}`);
  const place = (): number => Math.floor(random.uniform() * (noise.length - rateHz));
  const [nx, ny, nz] = [place(), place(), place()];
  const x = new Int16Array(rateHz);
  const y = new Int16Array(rateHz);
  const z = new Int16Array(rateHz);
  const counts = 1 / s.scale;
  const rattle = flask.rattleG * counts;
  const nw = place();
  const wall = new Int16Array(rateHz);
  const sideX = s.motorOut ? 0.4 : 0.06;
  const sideY = s.motorOut ? 0.25 : 0.04;
  // A pointer turned step by step: no call of Math.sin a sample.
  const step = (2 * Math.PI * flask.frequencyHz) / rateHz;
  const [stepSin, stepCos] = [Math.sin(step), Math.cos(step)];
  const angle = 2 * Math.PI * flask.frequencyHz * second + flask.phase;
  let sin = Math.sin(angle);
  let cos = Math.cos(angle);
  for (let block = 0; block < rateHz; block += held) {
    const t = second + block / rateHz;
    const a = counts * amplitude(flask.amplitudeG, t);
    const coast = counts * coasting(flask.amplitudeG, t);
    // Out of step, the motors' pushes add up to all and to nothing in turn.
    const push = s.lostSync ? Math.abs(Math.cos(Math.PI * beatHz * (t + flask.phase))) : s.motorOut ? 0.5 : 1;
    for (let i = block; i < block + held; i += 1) {
      const sin2 = 2 * sin * cos;
      const cos2 = 1 - 2 * sin * sin;
      const sin3 = sin * (3 - 4 * sin * sin);
      const cos3 = cos * (4 * cos * cos - 3);
      const twice = 0.07 * (sin2 * cosOne + cos2 * sinOne);
      const thrice = 0.03 * (sin3 * cosTwo + cos3 * sinTwo);
      const slow = coast === 0 ? 0 : coast * Math.sin((2 * Math.PI * coastHz * i) / rateHz + flask.phase);
      x[i] = Math.round(a * (sideX * cos + 0.3 * twice) + 0.4 * slow + rattle * (noise[nx + i] as number));
      y[i] = Math.round(a * (sideY * cos + 0.2 * twice) + 0.3 * slow + rattle * (noise[ny + i] as number));
      const vertical = a * (push * sin + twice + thrice) + slow;
      z[i] = Math.round(counts + vertical + rattle * (noise[nz + i] as number));
      wall[i] = Math.round(counts + wallShare * vertical + rattle * (noise[nw + i] as number));
      const turned = sin * stepCos + cos * stepSin;
      cos = cos * stepCos - sin * stepSin;
      sin = turned;
    }
  }
  if (s.looseClamp > 0) {
    hammer(s, second, s.looseClamp, z);
    hammer(s, second, 0.8 * s.looseClamp, wall);
  }
  if (s.looseSensor > 0) hammer(s, second, s.looseSensor, z);
  if (s.bearing > 0) for (const axis of [x, y, z, wall]) impacts(s, second, axis);
  if (s.reversed) for (let i = 0; i < rateHz; i += 1) z[i] = -(z[i] as number);
  if (s.dropouts > 0) dropOut(s, second, z);
  return { x, y, z, wall };
}

/** A worn race rings at each ball that passes: outer race of a bearing with nine balls. */
function impacts(s: Shaking, second: number, axis: Int16Array): void {
  const random = randomAt(s.key.seed, s.station, s.number, `bearing-${second}`);
  const between = s.rateHz / (3.6 * s.flask.frequencyHz);
  const counts = 1 / s.scale;
  for (let start = random.uniform() * between; start < axis.length; start += between) {
    const blow = counts * s.bearing * (1.18 + 0.17 * random.normal());
    ring(axis, start, blow, s.rateHz);
  }
}

/** Stretches of a tenth of a second in which the cable makes no contact. */
function dropOut(s: Shaking, second: number, axis: Int16Array): void {
  const random = randomAt(s.key.seed, s.station, s.number, `cable-${second}`);
  const length = Math.floor(s.rateHz / 10);
  for (let start = 0; start < axis.length; start += length) {
    if (random.uniform() < s.dropouts) axis.fill(0, start, start + length);
  }
}

function ring(axis: Int16Array, start: number, blow: number, rateHz: number): void {
  for (let i = Math.ceil(start); i < Math.min(axis.length, start + 50); i += 1) {
    const age = (i - start) / rateHz;
    axis[i] =
      (axis[i] as number) +
      Math.round(blow * Math.exp(-age / ringSeconds) * Math.sin(2 * Math.PI * ringHz * age + ringPhase));
  }
}

/** Programme share, spin-up after each change of stage, and the sand's mass rising through the final stage. */
function amplitude(fullG: number, t: number): number {
  let fromSeconds = 0;
  let before = 0;
  for (const { stage, seconds, share } of tableStages) {
    const within = t - fromSeconds;
    if (within < seconds) {
      const reached = share + (before - share) * Math.exp(-within / spinUpSeconds);
      const sand = stage === 3 ? 1 - 0.12 * (1 - Math.exp(-within / sandSeconds)) : 1;
      return fullG * reached * sand;
    }
    fromSeconds += seconds;
    before = share;
  }
  return fullG * 0.88 * Math.exp(-(t - fromSeconds) / 0.15);
}

/** Starting and stopping pass the table's own resonance near 10 Hz. */
function coasting(fullG: number, t: number): number {
  if (t < 1.5) return 0.5 * fullG * Math.exp(-t / 0.3);
  return t < tableSeconds ? 0 : 1.5 * fullG * Math.exp(-(t - tableSeconds) / 0.4);
}

/** A loose flask strikes the table every second turn: a ring, and half the drive frequency in it. */
function hammer(s: Shaking, second: number, size: number, z: Int16Array): void {
  const { frequencyHz } = s.flask;
  const random = randomAt(s.key.seed, s.station, s.number, `hammer-${second}`);
  const counts = 1 / s.scale;
  const between = (2 * s.rateHz) / frequencyHz;
  for (let i = 0; i < z.length; i += 1) {
    const t = second + i / s.rateHz;
    z[i] = (z[i] as number) + Math.round(0.256 * size * counts * Math.sin(Math.PI * frequencyHz * t));
  }
  for (let start = random.uniform() * between; start < z.length; start += between) {
    ring(z, start, counts * size * (2.6 + 0.3 * random.normal()), s.rateHz);
  }
}
