import { brokerMistakes } from "../broker-settings.ts";
import { influxMistakes } from "../influx-settings.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { Checkable, Placed } from "./salvage.ts";
import { oneOf } from "./schema-words.ts";
import { isZone } from "./zone-offsets.ts";

/** What only the site as a whole can tell: names that point at nothing, names given twice, a zone that is none. */
export function checkSite(site: Checkable): readonly Finding[] {
  return [
    ...zoneFindings(site.zone),
    ...repeated(site.shifts, "shifts", "name", (shift) => shift.name),
    ...repeated(site.shifts, "shifts", "from", (shift) => shift.from),
    ...(site.freeDaysAlone ? [{ path: ["freeDays"], expected: "none where no shifts are named" }] : []),
    ...repeated(site.lines, "lines", "id", (line) => line.id),
    ...repeated(site.sources, "sources", "id", (source) => source.id),
    ...repeated(site.sources, "sources", "topic", (source) => source.topic),
    ...repeated(site.stations, "stations", "id", (station) => station.id),
    ...repeated(site.supplies, "supplies", "id", (supply) => supply.id),
    ...site.supplies.flatMap(({ index, value: { measuredAt } }) =>
      measuredAt === undefined || site.declared.stations.has(measuredAt)
        ? []
        : [{ path: ["supplies", index, "measuredAt"], expected: oneOf([...site.declared.stations]) }],
    ),
    ...repeated(site.persons, "persons", "id", (person) => person.id),
    ...repeated(site.persons, "persons", "name", (person) => person.name.toLowerCase()),
    ...repeatedWords(site.stages, "stages"),
    ...repeatedWords(site.causes, "causes"),
    ...site.sources.flatMap(({ index, value }) => topicFindings(value.topic, ["sources", index, "topic"])),
    ...site.stations.flatMap((station) => stationFindings(station, site)),
    ...stageFindings(site),
    ...brokerMistakes(site.broker ?? {}).map(({ key, expected }) => ({ path: ["broker", key], expected })),
    // What is not said here may be said by a variable; the start looks at both together.
    ...influxMistakes(site.influx ?? {})
      .filter(({ key }) => site.influx?.[key] !== undefined)
      .map(({ key, expected }) => ({ path: ["influx", key], expected })),
  ];
}

function zoneFindings(zone: string | null): readonly Finding[] {
  if (zone === null || zone === "" || isZone(zone)) return [];
  return [{ path: ["site", "zone"], expected: "a zone of the IANA time zone database, such as Europe/Vienna or CET" }];
}

function repeated<T>(
  list: readonly Placed<T>[],
  name: string,
  key: string,
  of: (value: T) => string,
): readonly Finding[] {
  const seen = new Set<string>();
  return list.flatMap(({ index, value }) => {
    const word = of(value);
    if (seen.has(word)) return [{ path: [name, index, key], expected: `${name} that differ in ${key}` }];
    seen.add(word);
    return [];
  });
}

function repeatedWords(words: readonly string[], name: string): readonly Finding[] {
  return words.flatMap((word, index) =>
    words.indexOf(word) < index ? [{ path: [name, index], expected: `each of ${name} once` }] : [],
  );
}

/** MQTT 3.1.1, 4.7.1: `+` stands for a whole level, `#` for the rest and only at the end. */
function topicFindings(topic: string, path: SettingsPath): readonly Finding[] {
  const levels = topic.split("/");
  const good = levels.every(
    (level, at) => level === "+" || (level === "#" && at === levels.length - 1) || !/[+#\0]/.test(level),
  );
  if (!good) return [{ path, expected: "an MQTT topic filter: + for one whole level, # only as the last" }];
  if (topic.startsWith("$")) return [{ path, expected: "a topic that does not begin with $" }];
  return [];
}

function stationFindings({ index, value }: Checkable["stations"][number], site: Checkable): readonly Finding[] {
  const points = [
    ["kind", value.kind, site.declared.kinds],
    ["line", value.line, site.declared.lines],
    ["source", value.source, site.declared.sources],
  ] as const;
  const path = ["stations", index] as const;
  return [
    ...points.flatMap(([key, name, known]) =>
      known.has(name) ? [] : [{ path: [...path, key], expected: oneOf([...known]) }],
    ),
    ...value.fedBy.flatMap((name, at) =>
      site.declared.supplies.has(name)
        ? []
        : [{ path: [...path, "fedBy", at], expected: oneOf([...site.declared.supplies]) }],
    ),
    ...borrowFindings(value, site, [...path, "borrows"]),
    ...calibrationFindings(value.calibrated, site.kinds[value.kind], [...path, "calibrated"]),
  ];
}

function calibrationFindings(
  calibrated: Readonly<Record<string, string>>,
  kind: Checkable["kinds"][string] | undefined,
  path: SettingsPath,
): readonly Finding[] {
  if (kind === undefined) return [];
  const roles = Object.entries(kind.series).flatMap(([role, { instrument }]) =>
    instrument === undefined ? [] : [role],
  );
  return Object.keys(calibrated).flatMap((role) =>
    roles.includes(role) ? [] : [{ path: [...path, role], expected: oneOf(roles), atKey: true }],
  );
}

/** What a station borrows must be what its kind asks for, and somebody else's. */
function borrowFindings(
  { id, kind, borrows }: Checkable["stations"][number]["value"],
  site: Checkable,
  path: SettingsPath,
): readonly Finding[] {
  const asked = site.kinds[kind]?.borrows;
  if (asked === undefined) return [];
  const lent = site.stations.flatMap(({ value }) =>
    value.id === id ? [] : Object.keys(site.kinds[value.kind]?.series ?? {}).map((role) => `${value.id}/${role}`),
  );
  return [
    ...asked.flatMap((role) =>
      Object.hasOwn(borrows, role)
        ? []
        : [{ path, found: `no ${role}`, expected: `${role}: STATION/role, as ${kind} asks` }],
    ),
    ...Object.entries(borrows).flatMap(([role, from]): readonly Finding[] => {
      if (!asked.includes(role)) return [{ path: [...path, role], expected: oneOf(asked), atKey: true }];
      const expected = "a series of another station, as STATION/role";
      if (typeof from === "string") return lent.includes(from) ? [] : [{ path: [...path, role], expected }];
      const words = Object.entries(from.from);
      if (words.length === 0) return [{ path: [...path, role, "from"], expected: "a lender by each word" }];
      return words.flatMap(([word, one]) =>
        lent.includes(one) ? [] : [{ path: [...path, role, "from", word], expected }],
      );
    }),
  ];
}

function stageFindings(site: Checkable): readonly Finding[] {
  return Object.entries(site.kinds).flatMap(([name, kind]) =>
    site.stages.includes(kind.stage) ? [] : [{ path: ["stationKinds", name, "stage"], expected: oneOf(site.stages) }],
  );
}
