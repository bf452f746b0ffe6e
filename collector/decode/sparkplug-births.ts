import type { SourceSettings } from "../platform/settings/source-schema.ts";
import type { SparkplugMetric } from "./sparkplug-payload.ts";

export type SparkplugRow = Extract<SourceSettings, { format: "sparkplug-b" }>["map"][number];

/** A metric as its birth named it. */
export interface BornMetric {
  readonly name: string;
  readonly datatype: number | null;
  /** What the settings say of it; undefined where they say nothing. */
  readonly row: SparkplugRow | undefined;
}

/** The birth of an edge node itself (device null) or of one of its devices. */
export interface Birth {
  readonly byName: ReadonlyMap<string, BornMetric>;
  /** Null where two metrics were given one alias: it then tells neither. */
  readonly byAlias: ReadonlyMap<number, BornMetric | null>;
}

/** What is known of one edge node since its NBIRTH. */
export interface EdgeNode {
  /** Rows of the settings by device, or null for the node's own metrics, and by metric. */
  readonly rows: ReadonlyMap<string | null, ReadonlyMap<string, SparkplugRow>>;
  readonly births: Map<string | null, Birth>;
  /** Of the NBIRTH; a death that names another one is of a connection that ended before. */
  bdSeq: number | null;
  /** What its own clock showed when it sent last, and ours when that arrived. */
  clock: { readonly sentMs: number; readonly receivedMs: number } | null;
}

/** The edge nodes that the settings speak of: others are not remembered, however many a sender makes up. */
export function edgeNodes(rows: readonly SparkplugRow[], edgeOfTopic: string | null): ReadonlyMap<string, EdgeNode> {
  const nodes = new Map<string, Map<string | null, Map<string, SparkplugRow>>>();
  for (const row of rows) {
    const edge = row.edge ?? edgeOfTopic;
    if (edge === null) throw new RangeError(`no edge node for ${row.series}: the settings were not checked`);
    const devices = entryOf(nodes, edge, () => new Map<string | null, Map<string, SparkplugRow>>());
    entryOf(devices, row.device ?? null, () => new Map<string, SparkplugRow>()).set(row.metric, row);
  }
  return new Map(
    [...nodes].map(([edge, devices]) => [edge, { rows: devices, births: new Map(), bdSeq: null, clock: null }]),
  );
}

function entryOf<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key);
  if (known !== undefined) return known;
  const made = make();
  map.set(key, made);
  return made;
}

/** The birth that a message's metrics make. Metrics without a name are left out: nothing can refer to them. */
export function birthOf(
  metrics: readonly SparkplugMetric[],
  rows: ReadonlyMap<string, SparkplugRow> | undefined,
): Birth {
  const byName = new Map<string, BornMetric>();
  const byAlias = new Map<number, BornMetric | null>();
  for (const { name, alias, datatype } of metrics) {
    if (name === null) continue;
    const born = { name, datatype, row: rows?.get(name) };
    byName.set(name, born);
    if (alias !== null) byAlias.set(alias, byAlias.has(alias) ? null : born);
  }
  return { byName, byAlias };
}
