const longest = 40;

/** What stood in a file, fit for one line of a message: neither line breaks nor control characters, and not too long. */
export function shown(text: string): string {
  if (text.trim() === "") return "an empty field";
  const clean = onOneLine(text);
  return clean.length > longest ? `${clean.slice(0, longest)}...` : clean;
}

/** A text whole, on one line whatever it holds: names of files may hold line breaks too. */
export function onOneLine(text: string): string {
  return text.replaceAll(/\p{C}/gu, (char) => `\\u${char.codePointAt(0)!.toString(16).padStart(4, "0")}`);
}
