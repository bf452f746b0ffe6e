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
  hz: "frequency",
  dp: "pressure drop",
  loi: "loss on ignition",
  gfn: "grain fineness",
  x: "x",
  y: "y",
  z: "z",
};

/** Analyses by their element: `chem-si`. */
const elements: Readonly<Record<string, string>> = {
  ...{ c: "carbon", si: "silicon", mn: "manganese", p: "phosphorus", s: "sulphur", mg: "magnesium", cu: "copper" },
  ...{ fe: "iron", zn: "zinc", ni: "nickel", cr: "chromium" },
};

/** Reduced series in the order they are looked at: the level first, its make-up after. */
const reduced = ["rms", "peak", "hf", "f1", "one", "half", "two", "dc"];

/** A role of the settings in words: `return-rh` is `Return humidity`, `vibration-z.rms` is `Vibration z RMS`. */
export function traceName(role: string, quantity: string): string {
  const element = elements[/^chem-(\w+)$/.exec(role)?.[1] ?? ""];
  if (element !== undefined) return sentenceCase(element);
  const place = /^t(\d+)$/.exec(role);
  if (place !== null && quantity.endsWith("temperature")) return `Position ${place[1]}`;
  return sentenceCase(
    role
      .split(/[-.]/)
      .map((token) => words[token] ?? token)
      .join(" "),
  );
}

/** Levels of vibration first, the vertical one leading, then all others as they came, and what a level is made of at the end. */
export function inOrder<T extends { readonly role: string }>(traces: readonly T[]): readonly T[] {
  const kind = (role: string): number => {
    const at = reduced.indexOf(role.slice(role.lastIndexOf(".") + 1));
    return at === 0 ? -1 : at + 1;
  };
  const axis = (role: string): number => ["z", "x", "y"].indexOf(/-([xyz])\./.exec(role)?.[1] ?? "");
  return [...traces].sort((a, b) => kind(a.role) - kind(b.role) || axis(a.role) - axis(b.role));
}
