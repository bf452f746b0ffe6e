/** Decimals that tell apart about a hundred places between two numbers. */
export function decimalsFor(low: number, high: number): number {
  const range = high - low;
  if (!(range > 0) || !Number.isFinite(range)) return decimalsOfOne(high);
  return Math.min(15, Math.max(0, Math.ceil(2 - Math.log10(range))));
}

function decimalsOfOne(value: number): number {
  const size = Math.abs(value);
  return size > 0 && Number.isFinite(size) ? Math.min(15, Math.max(0, Math.ceil(3 - Math.log10(size)))) : 0;
}

/** A number for people: so many decimals, or powers of ten where those would not be read. */
export function figure(value: number, decimals: number): string {
  const size = Math.abs(value);
  if (size >= 1e7 || (size > 0 && size < 1e-5)) return minus(value.toExponential(3).replace("e+", "e"));
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : minus(text);
}

function minus(text: string): string {
  return text.replaceAll("-", "\u2212");
}
