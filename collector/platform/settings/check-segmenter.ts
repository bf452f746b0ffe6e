import { rolesOf } from "./check-series.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import { durationMs, type SegmenterSettings, type StationKind } from "./schema.ts";
import { oneOf } from "./schema-words.ts";

/** Whether a segmenter can cut runs from the series of its station kind. */
export function checkSegmenter(
  kind: StationKind,
  segmenter: SegmenterSettings,
  path: SettingsPath,
): readonly Finding[] {
  return [...roleFindings(kind, segmenter, path), ...ownFindings(segmenter, path)];
}

function ownFindings(segmenter: SegmenterSettings, path: SettingsPath): readonly Finding[] {
  switch (segmenter.by) {
    case "state-signal":
      return stateFindings(segmenter, path);
    case "threshold":
      if (segmenter.closesBelow <= segmenter.opensAbove) return [];
      return [{ path: [...path, "closesBelow"], expected: `a number of at most opensAbove, ${segmenter.opensAbove}` }];
    case "items":
      if (segmenter.opensAt !== segmenter.closesAt) return [];
      return [{ path: [...path, "closesAt"], expected: "another state than opensAt" }];
    case "sequence":
      return sequenceFindings(segmenter, path);
    case "clock":
      if (durationMs(segmenter.every) <= durationMs("1 d")) return [];
      return [{ path: [...path, "every"], expected: "at most 1 d" }];
    case "change":
    case "marker":
      return [];
  }
}

function sequenceFindings(
  { steps, ends }: Extract<SegmenterSettings, { by: "sequence" }>,
  path: SettingsPath,
): readonly Finding[] {
  const names = steps.map(({ name }) => name);
  return [
    ...steps.flatMap((step, index) => levelFindings(step, [...path, "steps", index])),
    ...levelFindings(ends, [...path, "ends"]),
    ...names.flatMap((name, index) =>
      name === undefined || names.indexOf(name) === index
        ? []
        : [{ path: [...path, "steps", index, "name"], expected: "a name that no other step has" }],
    ),
  ];
}

function levelFindings(
  { above, below, from }: Extract<SegmenterSettings, { by: "sequence" }>["ends"],
  path: SettingsPath,
): readonly Finding[] {
  if ((above === undefined) === (below === undefined)) {
    const found = above === undefined ? "neither above nor below" : "both above and below";
    return [{ path, found, expected: "one of them" }];
  }
  if (from === undefined || (above === undefined ? from >= below! : from <= above)) return [];
  const expected = above === undefined ? `a number of at least below, ${below}` : `a number of at most above, ${above}`;
  return [{ path: [...path, "from"], expected }];
}

function roleFindings(kind: StationKind, segmenter: SegmenterSettings, path: SettingsPath): readonly Finding[] {
  if (segmenter.by === "clock") return [];
  const { by, role } = segmenter;
  const read = by === "threshold" || by === "sequence";
  const [wanted, words] = read ? (["reading", "a reading"] as const) : (["event", "an event"] as const);
  const fitting = [...rolesOf(kind)].filter(([, what]) => what === wanted).map(([name]) => name);
  if (fitting.includes(role)) return [];
  return [{ path: [...path, "role"], expected: `the role of ${words} series here: ${oneOf(fitting)}` }];
}

function stateFindings(
  { states, opensAt, closesAt }: Extract<SegmenterSettings, { by: "state-signal" }>,
  path: SettingsPath,
): readonly Finding[] {
  const found: Finding[] = [];
  if (!Object.hasOwn(states, opensAt)) found.push({ path: [...path, "opensAt"], expected: oneOf(Object.keys(states)) });
  if (closesAt === opensAt) found.push({ path: [...path, "closesAt"], expected: "another state than opensAt" });
  else if (Object.hasOwn(states, closesAt)) {
    const expected = "a state that is not among the named ones: it is not part of the run";
    found.push({ path: [...path, "closesAt"], expected });
  }
  const names = Object.values(states);
  for (const [index, number] of Object.keys(states).entries()) {
    if (names.indexOf(names[index]!) < index) {
      found.push({ path: [...path, "states", number], expected: "a name that no other state has" });
    }
  }
  return found;
}
