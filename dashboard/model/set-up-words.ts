import type { WireSetUpStation, WireSetUpWord } from "../../api/contract/set-up-wire.ts";

/** What a scanned or typed code is. */
export type Scanned =
  | { readonly kind: "station"; readonly station: string }
  | { readonly kind: "word"; readonly key: string; readonly word: string }
  /** `why` in words, for whoever holds the scanner. */
  | { readonly kind: "unknown"; readonly why: string };

/** Whose a code is: a choice, a station, or the word whose codes begin like it; the only word without either takes the rest. */
export function scanned(text: string, words: readonly WireSetUpWord[], stations: readonly string[]): Scanned {
  // Scanners send separators that nobody sees.
  const code = text.replaceAll(/\p{C}/gu, "").trim();
  if (code === "") return { kind: "unknown", why: "Nothing was read." };
  const same = (other: string): boolean => other.toLowerCase() === code.toLowerCase();
  for (const { key, choices } of words) {
    const choice = choices.find(same);
    if (choice !== undefined) return { kind: "word", key, word: choice };
  }
  const station = stations.find(same);
  if (station !== undefined) return { kind: "station", station };
  const begins = words.find(({ prefix }) => prefix !== null && code.toLowerCase().startsWith(prefix.toLowerCase()));
  const rest = words.filter(({ choices, prefix }) => choices.length === 0 && prefix === null);
  const owner = begins ?? (rest.length === 1 ? rest[0] : undefined);
  if (owner === undefined) return { kind: "unknown", why: `${code} is none of ${listed(words)} here.` };
  if (owner.choices.length > 0)
    return { kind: "unknown", why: `${code} is no ${lower(owner.name)} of these settings.` };
  return { kind: "word", key: owner.key, word: code };
}

/** `part, tool or bead lot` */
export function listed(words: readonly Pick<WireSetUpWord, "name">[]): string {
  const names = words.map(({ name }) => lower(name));
  return names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} or ${names.at(-1)}`;
}

/** `part OFW-2107 · no tool` */
export function saidWords(said: Readonly<Record<string, string>>, words: readonly WireSetUpWord[]): string {
  const order = [...words.map(({ key }) => key), ...Object.keys(said)];
  const keys = [...new Set(order)].filter((key) => Object.hasOwn(said, key));
  const nameOf = (key: string): string => lower(words.find((one) => one.key === key)?.name ?? key);
  return keys.map((key) => (said[key] === "" ? `no ${nameOf(key)}` : `${nameOf(key)} ${said[key]}`)).join(" · ");
}

/** What of a run's context somebody may say here, in the order of the settings. */
export function contextSaid(
  context: Readonly<Record<string, string>>,
  words: readonly WireSetUpWord[],
): Readonly<Record<string, string>> {
  return Object.fromEntries(
    words.flatMap(({ key }) => (Object.hasOwn(context, key) ? [[key, context[key]!] as const] : [])),
  );
}

/** Words that people say and the newest run, begun later, has otherwise: its own events, or nothing yet, say so. */
export function otherwise({ now, lastRun, words }: WireSetUpStation): readonly WireSetUpWord[] {
  if (lastRun === null) return [];
  return words.filter(({ key }) => {
    const said = now[key];
    const had = lastRun.context[key];
    return said !== undefined && had !== undefined && had !== said.word && lastRun.start > said.since;
  });
}

function lower(name: string): string {
  return /^[A-Z][a-z]/.test(name) ? `${name[0]!.toLowerCase()}${name.slice(1)}` : name;
}
