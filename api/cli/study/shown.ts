const longest = 40;

/** What stood in a file, fit for one line of a message: neither line breaks nor control characters, and not too long. */
export function shown(text: string): string {
  if (text.trim() === "") return "an empty field";
  const clean = text.replaceAll(/\p{C}/gu, (char) => `\\u${char.codePointAt(0)!.toString(16).padStart(4, "0")}`);
  return clean.length > longest ? `${clean.slice(0, longest)}...` : clean;
}
