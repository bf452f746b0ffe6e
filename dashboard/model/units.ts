const spoken: Readonly<Record<string, string>> = {
  Cel: "°C",
  "[g]": "g",
  "m/s2": "m/s²",
  "g/dm2": "g/dm²",
  "bar.s": "bar·s",
  "1": "",
  "{ratio}": "",
};

/** How a UCUM unit is written for people. Gauge and absolute pressure differ by an atmosphere, so bar says which. */
export function unitWord(unit: string, reference: string | null = null, quantity: string | null = null): string {
  if (unit === "bar" && quantity === "steam-pressure" && reference === "gauge") return "barg";
  if (unit === "bar" && quantity === "steam-pressure" && reference === "absolute") return "bara";
  return spoken[unit] ?? unit;
}

/** Unit, in running text, with the thin, unbreakable space that parts it from its number, or nothing for a bare ratio. */
export function unitAfter(word: string): string {
  return word === "" ? "" : `\u202f${word}`;
}
