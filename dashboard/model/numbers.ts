const minus = "\u2212";

/** A number with the digits its instrument deserves; the only place where values are rounded. */
export function figure(value: number, digits: number): string {
  const text = Math.abs(value).toFixed(Math.max(0, digits));
  return value < 0 && Number(text) !== 0 ? minus + text : text;
}

/** An index such as Cpk: two digits after the point, as is the custom. */
export function indexFigure(value: number): string {
  return figure(value, 2);
}

/** Counts in words' company: `1 shot`, `12 shots`. */
export function counted(n: number, word: string): string {
  return `${n} ${n === 1 ? word : plural(word)}`;
}

export function plural(word: string): string {
  return /(s|x|ch|sh)$/.test(word) ? `${word}es` : `${word}s`;
}

/** Capital first letter, the rest untouched. */
export function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
