import {
  type Document,
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  type Pair,
  parseDocument,
  visit,
  type YAMLError,
  type YAMLMap,
} from "yaml";
import { withoutPassword } from "../broker-settings.ts";
import type { Finding, Mistake, SettingsPath } from "./mistake.ts";
import { pathText } from "./mistake.ts";

/** A YAML text as plain data, and the way back from a path to its place in the text. */
export interface SettingsDocument {
  readonly value: unknown;
  place(finding: Finding): Mistake;
}

type ReadDocument =
  | { readonly ok: true; readonly document: SettingsDocument }
  | { readonly ok: false; readonly mistakes: readonly Mistake[] };

/** Reads one YAML document and keeps positions. Never throws: what is wrong with the text is told as mistakes. */
export function readDocument(bytes: Uint8Array): ReadDocument {
  const decoded = decodeUtf8(bytes);
  if (!decoded.ok) return { ok: false, mistakes: [decoded.mistake] };
  const text = decoded.text;
  const lines = new LineCounter();
  const parsed = parseDocument(text, { lineCounter: lines, merge: true, prettyErrors: false });
  const errors = [...parsed.errors, ...parsed.warnings];
  if (errors.length > 0) return { ok: false, mistakes: errors.map((error) => syntaxMistake(error, lines)) };
  if (parsed.contents === null)
    return { ok: false, mistakes: [whole("an empty file", "settings that begin with site:")] };
  let value: unknown;
  try {
    value = parsed.toJS({ maxAliasCount: 100 });
  } catch (error) {
    // Looked for only now: the way through all of a large file would take long at each start.
    const lost = aliasMistakes(parsed, lines);
    if (lost.length > 0) return { ok: false, mistakes: lost };
    if (!(error instanceof ReferenceError)) throw error;
    return { ok: false, mistakes: [whole("aliases (*name) beyond reason", "at most 100 uses of an anchor in all")] };
  }
  return { ok: true, document: { value, place: (finding) => placed(parsed, finding, text, lines) } };
}

function decodeUtf8(bytes: Uint8Array): { ok: true; text: string } | { ok: false; mistake: Mistake } {
  try {
    return { ok: true, text: new TextDecoder("utf-8", { fatal: true }).decode(bytes) };
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    const line = firstBadLine(bytes);
    return { ok: false, mistake: { ...whole("bytes that are not UTF-8", "a text file in UTF-8"), line } };
  }
}

function firstBadLine(bytes: Uint8Array): number {
  let line = 1;
  for (let from = 0; from <= bytes.length; line += 1) {
    const end = bytes.indexOf(0x0a, from);
    const part = bytes.subarray(from, end === -1 ? bytes.length : end);
    if (new TextDecoder("utf-8").decode(part).includes("\uFFFD")) return line;
    if (end === -1) return line;
    from = end + 1;
  }
  return line;
}

function whole(found: string, expected: string): Mistake {
  return { line: 1, column: 1, path: "", found, expected };
}

/** What stands behind a syntax error, by the parser's own code, in words of ours. */
const syntaxWords: Readonly<Record<string, readonly [found: string, expected: string]>> = {
  TAB_AS_INDENT: ["a tab as indentation", "spaces"],
  DUPLICATE_KEY: ["the same key twice", "each key once"],
  BAD_INDENT: ["an indentation that fits no level above", "the same number of spaces as its neighbours"],
  MULTIPLE_DOCS: ["a second document after ---", "one document"],
  MISSING_CHAR: ["a character missing", "closed quotes and brackets, and a colon after each key"],
};

function syntaxMistake(error: YAMLError, lines: LineCounter): Mistake {
  const at = lines.linePos(error.pos[0]);
  const [found, expected] = syntaxWords[error.code] ?? ["text that is not YAML", "YAML 1.2"];
  const detail = error.message.replaceAll(/\s+/g, " ").trim();
  return { line: at.line, column: at.col, path: "", found: `${found} (${detail})`, expected };
}

/** The parser finds an alias without its anchor only when it is followed, and then not where it stands. */
function aliasMistakes(document: Document, lines: LineCounter): readonly Mistake[] {
  const mistakes: Mistake[] = [];
  const anchors = new Set<string>();
  const anchored = (_key: unknown, { anchor }: { readonly anchor?: string }): void => {
    if (anchor !== undefined) anchors.add(anchor);
  };
  visit(document, {
    Collection: anchored,
    Scalar: anchored,
    Alias: (_key, alias) => {
      if (anchors.has(alias.source)) return;
      const at = lines.linePos(alias.range?.[0] ?? 0);
      const found = `the alias *${alias.source} without its anchor`;
      mistakes.push({
        line: at.line,
        column: at.col,
        path: "",
        found,
        expected: `an anchor &${alias.source} before it`,
      });
    },
  });
  return mistakes;
}

function placed(document: Document, finding: Finding, text: string, lines: LineCounter): Mistake {
  const hit = walk(document, finding.path, finding.atKey === true);
  const at = lines.linePos(hit.node?.range?.[0] ?? 0);
  return {
    line: Math.max(1, at.line),
    column: Math.max(1, at.col),
    path: pathText(finding.path),
    found: finding.found ?? (hit.whole ? quote(hit.node, text) : "nothing"),
    expected: finding.expected,
  };
}

interface Hit {
  readonly node: Node | null;
  /** False when only a part of the path is there: the node is the last one that is. */
  readonly whole: boolean;
}

function walk(document: Document, path: SettingsPath, atKey: boolean): Hit {
  let node: Node | null = document.contents as Node | null;
  for (const [index, part] of path.entries()) {
    const group = followed(document, node);
    const pair = isMap(group) ? pairOf(document, group, String(part)) : undefined;
    if (index === path.length - 1 && atKey && pair !== undefined) return { node: pair.key as Node, whole: true };
    const next = isSeq(group) ? group.items[Number(part)] : pair?.value;
    if (!isNode(next)) return { node: (pair?.key as Node | undefined) ?? node, whole: false };
    node = next;
  }
  return { node, whole: true };
}

function followed(document: Document, node: Node | null): Node | null {
  return isAlias(node) ? (node.resolve(document) ?? null) : node;
}

/** The pair of a key in a group, or in what the group takes over through `<<`. */
function pairOf(document: Document, group: YAMLMap, key: string): Pair | undefined {
  const own = group.items.find((pair) => isScalar(pair.key) && String(pair.key.value) === key);
  if (own !== undefined) return own;
  const merged = group.items.find((pair) => isScalar(pair.key) && pair.key.source === "<<")?.value;
  if (!isNode(merged)) return undefined;
  const value = followed(document, merged);
  const groups = isSeq(value) ? value.items.filter(isNode).map((item) => followed(document, item)) : [value];
  for (const one of groups) {
    const pair = isMap(one) ? pairOf(document, one, key) : undefined;
    if (pair !== undefined) return pair;
  }
  return undefined;
}

function quote(node: Node | null, text: string): string {
  if (node === null || node.range === null || node.range === undefined) return "nothing";
  if (isMap(node)) return "a group of keys";
  if (isSeq(node)) return "a list";
  const [from, to] = node.range;
  const source = withoutPassword(text.slice(from, to).replaceAll(/\s+/g, " ").trim());
  if (source === "") return "nothing";
  return source.length > 60 ? `${source.slice(0, 57)}...` : source;
}
