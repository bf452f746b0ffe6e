import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";

/** Whether a scanned code can belong to one word only, and no word is one that we know ourselves. */
export function checkContext({ context }: StationKind, path: SettingsPath): readonly Finding[] {
  const words = Object.entries(context);
  const codes = new Map<string, string>();
  return words.flatMap(([key, { choices = [], prefix }], at): readonly Finding[] => {
    const here = [...path, key];
    const findings: Finding[] = [];
    if (key === "shift") findings.push({ path: here, expected: "no shift: the site's clock tells it", atKey: true });
    choices.forEach((choice, nth) => {
      const code = choice.toLowerCase();
      const other = codes.get(code);
      codes.set(code, key);
      if (other === undefined) return;
      const expected =
        other === key ? "each choice once" : `a choice that ${other} does not have: a scanned code is of one word`;
      findings.push({ path: [...here, "choices", nth], expected });
    });
    const alike = words.slice(0, at).find(([, one]) => clash(one.prefix, prefix));
    if (alike !== undefined) {
      findings.push({
        path: [...here, "prefix"],
        expected: `a beginning that tells its codes from those of ${alike[0]}`,
      });
    }
    return findings;
  });
}

function clash(a: string | undefined, b: string | undefined): boolean {
  if (a === undefined || b === undefined) return false;
  const [one, other] = [a.toLowerCase(), b.toLowerCase()];
  return one.startsWith(other) || other.startsWith(one);
}
