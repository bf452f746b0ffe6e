import type { Random } from "./random.ts";

/** Stationary sd `sigma`, time constant `tau`, around zero; exact for any step length. */
export function ornsteinUhlenbeck(random: Random, sigma: number, tau: number, step: number): () => number {
  const keep = Math.exp(-step / tau);
  const kick = sigma * Math.sqrt(1 - keep * keep);
  let value = sigma * random.normal();
  return () => {
    const now = value;
    value = keep * value + kick * random.normal();
    return now;
  };
}

/**
 * A value that remembers its predecessor, by run number. The states before are cheap and kept, so asking for run
 * 15,000 first gives what asking one by one gives.
 */
export function autoregressive(random: Random, phi: number, sigma: number, firstNumber: number): (n: number) => number {
  const kick = sigma * Math.sqrt(1 - phi * phi);
  const values: number[] = [sigma * random.normal()];
  return (n) => {
    const index = n - firstNumber;
    if (index < 0) throw new RangeError(`run ${n} lies before the plant's first, ${firstNumber}`);
    while (values.length <= index) values.push(phi * (values.at(-1) as number) + kick * random.normal());
    return values[index] as number;
  };
}
