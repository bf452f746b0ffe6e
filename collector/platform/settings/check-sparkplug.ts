import type { Finding, SettingsPath } from "./mistake.ts";
import type { SourceSettings } from "./source-schema.ts";

type Sparkplug = Extract<SourceSettings, { format: "sparkplug-b" }>;

/** The group and, where the topic names only one, the edge node that a source's topic filter speaks of. */
export function topicParts(topic: string): { readonly group: string | null; readonly edge: string | null } {
  const [namespace, group = "", , edge = ""] = topic.split("/");
  const named = (level: string): string | null => (level === "" || level === "+" || level === "#" ? null : level);
  return namespace === "spBv1.0" ? { group: named(group), edge: named(edge) } : { group: null, edge: null };
}

/** Sparkplug 3.0, chapter 4: `spBv1.0/group/message type/edge node/device`. */
export function checkSparkplug(source: Sparkplug, path: SettingsPath): readonly Finding[] {
  const { group, edge } = topicParts(source.topic);
  if (group === null || !takesAll(source.topic)) {
    const expected =
      "spBv1.0/GROUP/#, spBv1.0/GROUP/+/EDGE/# or spBv1.0/GROUP/+/+/#: births, data and deaths of one group";
    return [{ path: [...path, "topic"], expected }];
  }
  return source.map.flatMap((row, at) => {
    const place = [...path, "map", at, "edge"];
    if (row.edge === undefined) {
      return edge === null ? [{ path: place, expected: "the edge node: the topic names none" }] : [];
    }
    return edge === null || row.edge === edge ? [] : [{ path: place, expected: `${edge}, the edge node of the topic` }];
  });
}

/** Without births no data can be read, so the filter may not leave out a type of message, nor the devices. */
function takesAll(topic: string): boolean {
  const levels = topic.split("/").slice(2);
  return levels[0] === "#" || (levels[0] === "+" && (levels[1] === "#" || levels[2] === "#"));
}
