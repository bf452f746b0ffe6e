/** Topics seen so far; a sender that makes up topics without end must not fill the memory. */
const TOPICS_KEPT = 10_000;

/** Which sources' topic filters take a topic. */
export function topicSources(
  sources: readonly { readonly id: string; readonly topic: string }[],
): (topic: string) => readonly string[] {
  const known = new Map<string, readonly string[]>();
  return (topic) => {
    const before = known.get(topic);
    if (before !== undefined) return before;
    const found = sources.filter((source) => filterTakes(source.topic, topic)).map((source) => source.id);
    if (known.size >= TOPICS_KEPT) known.clear();
    known.set(topic, found);
    return found;
  };
}

/** MQTT 3.1.1 section 4.7: `+` is one level, `#` is all that follow and the level above; `$` topics match no wildcard. */
function filterTakes(filter: string, topic: string): boolean {
  if (topic.startsWith("$") && /^[+#]/.test(filter)) return false;
  const wanted = filter.split("/");
  const levels = topic.split("/");
  const open = wanted.at(-1) === "#";
  const exact = open ? wanted.slice(0, -1) : wanted;
  if (open ? levels.length < exact.length : levels.length !== exact.length) return false;
  return exact.every((level, i) => level === "+" || level === levels[i]);
}
