import { rolesOf } from "./check-series.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { SegmenterSettings, StationKind } from "./schema.ts";
import { oneOf } from "./schema-words.ts";

/** Whether a segmenter can cut runs from the series beside it. */
export function checkSegmenter(kind: StationKind, path: SettingsPath): readonly Finding[] {
  const { segmenter } = kind;
  const own =
    segmenter.by === "state-signal"
      ? stateFindings(segmenter, path)
      : segmenter.by === "threshold" && segmenter.closesBelow > segmenter.opensAbove
        ? [{ path: [...path, "closesBelow"], expected: `a number of at most opensAbove, ${segmenter.opensAbove}` }]
        : [];
  return [...roleFindings(kind, path), ...own];
}

function roleFindings(kind: StationKind, path: SettingsPath): readonly Finding[] {
  const { by, role } = kind.segmenter;
  const [wanted, words] = by === "threshold" ? (["reading", "a reading"] as const) : (["event", "an event"] as const);
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
