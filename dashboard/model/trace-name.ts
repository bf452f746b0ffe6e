import { sentenceCase } from "./numbers.ts";

const words: Readonly<Record<string, string>> = {
  rh: "humidity",
  t: "temperature",
  rms: "RMS",
  peak: "peak",
  f1: "main frequency",
  half: "half-speed band",
  one: "running-speed band",
  two: "double-speed band",
  hf: "200 to 1,000 Hz band",
  dc: "mean",
  x: "x",
  y: "y",
  z: "z",
};

/** Reduced series in the order they are looked at: the level first, its make-up after. */
const reduced = ["rms", "peak", "hf", "f1", "one", "half", "two", "dc"];

/** A role of the settings in words: `return-rh` is `Return humidity`, `vibration-z.rms` is `Vibration z RMS`. */
export function traceName(role: string, quantity: string): string {
  const place = /^t(\d+)$/.exec(role);
  if (place !== null && quantity.endsWith("temperature")) return `Position ${place[1]}`;
  return sentenceCase(
    role
      .split(/[-.]/)
      .map((token) => words[token] ?? token)
      .join(" "),
  );
}

/** Reduced series by kind and then by axis, the vertical one first; all others as they came. */
export function inOrder<T extends { readonly role: string }>(traces: readonly T[]): readonly T[] {
  const kind = (role: string): number => reduced.indexOf(role.slice(role.lastIndexOf(".") + 1));
  const axis = (role: string): number => ["z", "x", "y"].indexOf(/-([xyz])\./.exec(role)?.[1] ?? "");
  return [...traces].sort((a, b) => kind(a.role) - kind(b.role) || axis(a.role) - axis(b.role));
}
