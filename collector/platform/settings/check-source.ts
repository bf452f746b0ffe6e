import { dimensionOf } from "../../../spc/units/ucum.ts";
import { checkSparkplug } from "./check-sparkplug.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { Checkable, Placed } from "./salvage.ts";
import type { StationKind } from "./schema.ts";
import { oneOf } from "./schema-words.ts";
import type { SourceSettings } from "./source-schema.ts";

type Mapped = Exclude<SourceSettings, { format: "json-v1" }>;
type Row = Mapped["map"][number];
type SeriesSettings = StationKind["series"][string];

/** Whether the rows of a source's mapping point at series of its own, in units that convert, and each name at one. */
export function checkSources(site: Checkable): readonly Finding[] {
  return [
    ...overlapFindings(site.sources),
    ...site.sources.flatMap(({ index, value }) =>
      value.format === "json-v1" ? [] : sourceFindings(value, index, site),
    ),
  ];
}

/** Our own messages name their source; of any other only the topic tells whose they are. */
function overlapFindings(sources: readonly Placed<SourceSettings>[]): readonly Finding[] {
  return sources.flatMap(({ index, value }, at) => {
    const other = sources
      .slice(0, at)
      .find(
        (one) =>
          (one.value.format !== "json-v1" || value.format !== "json-v1") && filtersMeet(one.value.topic, value.topic),
      );
    if (other === undefined) return [];
    const expected = `topics that the source ${other.value.id} has not: a message of this format does not name its source`;
    return [{ path: ["sources", index, "topic"], expected }];
  });
}

/** Whether a topic can match both filters (MQTT 3.1.1, 4.7). */
function filtersMeet(one: string, other: string): boolean {
  const a = one.split("/");
  const b = other.split("/");
  for (let i = 0; ; i += 1) {
    if (a[i] === "#" || b[i] === "#") return true;
    if (a[i] === undefined || b[i] === undefined) return a[i] === b[i];
    if (a[i] !== "+" && b[i] !== "+" && a[i] !== b[i]) return false;
  }
}

function sourceFindings(source: Mapped, index: number, site: Checkable): readonly Finding[] {
  const path: SettingsPath = ["sources", index];
  const rows = source.map as readonly Row[];
  return [
    ...rows.flatMap((row, at) => seriesFindings(row, [...path, "map", at], source, site)),
    ...rows.flatMap((row, at) => repeatFindings(rows, row, at, [...path, "map", at])),
    ...ownFindings(source, path),
  ];
}

function ownFindings(source: Mapped, path: SettingsPath): readonly Finding[] {
  switch (source.format) {
    case "senml":
      return source.map.flatMap(({ name }, at) =>
        /^[A-Za-z0-9][-A-Za-z0-9:./_]*$/.test(name)
          ? []
          : [
              {
                path: [...path, "map", at, "name"],
                expected: "a SenML name: letters, digits, - : . / _ (RFC 8428, 4.5.1)",
              },
            ],
      );
    case "sparkplug-b":
      return checkSparkplug(source, path);
    case "opcua-json":
    case "mapped-json":
      return [];
  }
}

function seriesFindings(row: Row, at: SettingsPath, source: Mapped, site: Checkable): readonly Finding[] {
  const [station = "", ...rest] = row.series.split("/");
  const role = rest.join("/");
  const placed = site.stations.find(({ value }) => value.id === station)?.value;
  const path = [...at, "series"];
  if (placed === undefined) {
    // A station that is declared and wrong has been told of at its own place.
    return site.declared.stations.has(station) ? [] : [{ path, expected: oneOf(seriesOf(source.id, site)) }];
  }
  if (placed.source !== source.id) {
    return [
      { path, expected: `a series of the source ${source.id}: the station ${station} belongs to ${placed.source}` },
    ];
  }
  const kind = site.kinds[placed.kind];
  if (kind === undefined) return [];
  const series = Object.hasOwn(kind.series, role) ? kind.series[role] : undefined;
  if (series === undefined) return [{ path, expected: oneOf(seriesOf(source.id, site)) }];
  if (series.kind === "waveform") {
    return [
      { path, found: `${row.series}, a waveform`, expected: "a reading or an event: no waveform comes in this format" },
    ];
  }
  return unitFindings(row, series, at, source.format);
}

function seriesOf(source: string, site: Checkable): readonly string[] {
  return site.stations
    .filter(({ value }) => value.source === source)
    .flatMap(({ value }) =>
      Object.entries(site.kinds[value.kind]?.series ?? {})
        .filter(([, series]) => series.kind !== "waveform")
        .map(([role]) => `${value.id}/${role}`),
    );
}

function unitFindings(
  row: Row,
  series: SeriesSettings,
  at: SettingsPath,
  format: Mapped["format"],
): readonly Finding[] {
  const { unit } = row;
  const unitAt = "unitAt" in row ? row.unitAt : undefined;
  const path = [...at, "unit"];
  if (unit !== undefined && unitAt !== undefined) {
    return [{ path: [...at, "unitAt"], expected: "either unit or unitAt, not both" }];
  }
  if (series.kind === "event") {
    return unit === undefined || unit === "1" ? [] : [{ path, expected: '"1": an event carries a number of no unit' }];
  }
  if (unit !== undefined) {
    const fits = dimensionOf(unit) !== undefined && dimensionOf(unit) === dimensionOf(series.unit);
    return fits ? [] : [{ path, expected: `a UCUM code that converts to ${series.unit}, the unit of ${row.series}` }];
  }
  if (format === "senml" || unitAt !== undefined) return [];
  const both = format === "mapped-json" ? "unit or unitAt" : "unit";
  return [{ path, expected: `${both}: messages of this format carry no unit, and none is guessed` }];
}

function repeatFindings(rows: readonly Row[], row: Row, at: number, path: SettingsPath): readonly Finding[] {
  const before = rows.slice(0, at);
  const found: Finding[] = [];
  if (before.some((other) => other.series === row.series)) {
    found.push({ path: [...path, "series"], expected: "each series once in a mapping" });
  }
  if (!("value" in row) && before.some((other) => nameOf(other) === nameOf(row))) {
    found.push({ path, found: "a name that stands in a row before", expected: "each name once in a mapping" });
  }
  return found;
}

function nameOf(row: Row): string {
  if ("metric" in row) return JSON.stringify([row.edge, row.device, row.metric]);
  if ("field" in row) return JSON.stringify([String(row.writer), row.field]);
  return "name" in row ? row.name : "";
}
