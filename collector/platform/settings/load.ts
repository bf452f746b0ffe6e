import { checkKind } from "./check-kind.ts";
import { checkMessages } from "./check-messages.ts";
import { checkSite } from "./check-site.ts";
import { checkSources } from "./check-source.ts";
import { readDocument } from "./document.ts";
import type { Mistake } from "./mistake.ts";
import { resolveSite } from "./resolve.ts";
import { checkable } from "./salvage.ts";
import { settingsSchema } from "./schema.ts";
import { findings } from "./schema-words.ts";
import type { Site } from "./site.ts";

export type LoadedSettings =
  | { readonly ok: true; readonly site: Site }
  | { readonly ok: false; readonly mistakes: readonly Mistake[] };

/**
 * Reads a settings file's bytes whole. All mistakes come at once, in the order of the file: those of the schema, and
 * beside them those that only show when parts are compared, as far as the parts can be read.
 */
export function loadSettings(bytes: Uint8Array): LoadedSettings {
  const read = readDocument(bytes);
  if (!read.ok) return { ok: false, mistakes: inOrder(read.mistakes) };
  const { value, place } = read.document;
  const parsed = settingsSchema.safeParse(value);
  const parts = checkable(value);
  const found = [
    ...(parsed.success ? [] : findings(parsed.error.issues, value)),
    ...checkSite(parts),
    ...checkSources(parts),
    ...checkMessages(parts),
    ...Object.entries(parts.kinds).flatMap(([name, kind]) => checkKind(kind, ["stationKinds", name])),
  ];
  if (found.length > 0 || !parsed.success) return { ok: false, mistakes: inOrder(found.map(place)) };
  return { ok: true, site: resolveSite(parsed.data) };
}

function inOrder(mistakes: readonly Mistake[]): readonly Mistake[] {
  return [...mistakes].sort((a, b) => a.line - b.line || a.column - b.column);
}
