import { fromZigzag, LARGEST_WHOLE, VarintReader, VarintWriter } from "./varints.ts";

/** How the values of a block are written. */
type ValueForm = 0 | 1 | 2;
const DECIMAL: ValueForm = 0;
const DECIMAL_FLOAT32: ValueForm = 1;
const PLANES: ValueForm = 2;

/** Most decimals tried: a double has no more digits. */
const MOST_DECIMALS = 15;
const powers = Array.from({ length: MOST_DECIMALS + 1 }, (_, k) => 10 ** k);

export interface CodedValues {
  readonly form: ValueForm;
  readonly decimals: number;
  readonly bytes: Buffer;
}

/**
 * Values of a block: differences of whole numbers on the coarsest decimal scale that gives every value back bit for
 * bit, as doubles or as the float32 of a decimal; else XOR with the value before, in byte planes.
 */
export function codeValues(values: Float64Array): CodedValues {
  const exact = decimalsOf(values, (value) => value);
  if (exact !== null) return { form: DECIMAL, decimals: exact, bytes: differences(values, exact) };
  // A sensor that sends float32 gives doubles such as 20.100000381: a decimal again once rounded to its own precision.
  if (values.every((value) => Object.is(Math.fround(value), value))) {
    const single = decimalsOf(values, Math.fround);
    if (single !== null) return { form: DECIMAL_FLOAT32, decimals: single, bytes: differences(values, single) };
  }
  return { form: PLANES, decimals: 0, bytes: planes(values) };
}

export function readValues(form: number, decimals: number, bytes: Uint8Array, n: number): Float64Array {
  if (form === PLANES) return fromPlanes(bytes, n);
  const scale = powers[decimals];
  if ((form !== DECIMAL && form !== DECIMAL_FLOAT32) || scale === undefined) {
    throw new RangeError(`a block has values of an unknown form, ${form} with ${decimals} decimals`);
  }
  const reader = new VarintReader(bytes);
  const values = new Float64Array(n);
  const short = bytes.length === n;
  let whole = 0;
  for (let i = 0; i < n; i += 1) {
    // As many bytes as numbers: each takes one.
    whole += short ? fromZigzag(bytes[i]!) : reader.signed();
    values[i] = form === DECIMAL ? whole / scale : Math.fround(whole / scale);
  }
  return values;
}

/** Fewest decimals from which `rounded(whole / 10^decimals)` is each value again, or null when there are none. */
function decimalsOf(values: Float64Array, rounded: (value: number) => number): number | null {
  let decimals = 0;
  for (const value of values) {
    while (!isOnScale(value, powers[decimals]!, rounded)) {
      decimals += 1;
      if (decimals > MOST_DECIMALS) return null;
    }
  }
  // A value that lay on a coarser scale need not lie on the finer one, where its whole number may be too large.
  return values.every((value) => isOnScale(value, powers[decimals]!, rounded)) ? decimals : null;
}

function isOnScale(value: number, scale: number, rounded: (value: number) => number): boolean {
  const whole = Math.round(value * scale);
  // A sum of differences is never minus zero, so that value goes with its bits.
  return Math.abs(whole) < LARGEST_WHOLE / 2 && !Object.is(value, -0) && Object.is(rounded(whole / scale), value);
}

function differences(values: Float64Array, decimals: number): Buffer {
  const scale = powers[decimals]!;
  const writer = new VarintWriter();
  let before = 0;
  for (const value of values) {
    const whole = Math.round(value * scale);
    writer.signed(whole - before);
    before = whole;
  }
  return writer.view();
}

/** First bytes of all values, then all second bytes, and so on: what changes seldom stands together. */
function planes(values: Float64Array): Buffer {
  const bits = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
  const out = Buffer.alloc(bits.length);
  const n = values.length;
  for (let i = 0; i < n; i += 1) {
    for (let plane = 0; plane < 8; plane += 1) {
      const before = i === 0 ? 0 : bits[8 * (i - 1) + plane]!;
      out[plane * n + i] = bits[8 * i + plane]! ^ before;
    }
  }
  return out;
}

function fromPlanes(bytes: Uint8Array, n: number): Float64Array {
  if (bytes.length !== 8 * n) throw new RangeError(`a block has ${bytes.length} bytes of values, expected ${8 * n}`);
  const values = new Float64Array(n);
  const bits = new Uint8Array(values.buffer);
  for (let i = 0; i < n; i += 1) {
    for (let plane = 0; plane < 8; plane += 1) {
      bits[8 * i + plane] = bytes[plane * n + i]! ^ (i === 0 ? 0 : bits[8 * (i - 1) + plane]!);
    }
  }
  return values;
}
