import type { z } from "zod";
import type { BrokerSettings } from "../broker-settings.ts";
import type { InfluxSettings } from "../influx-settings.ts";
import { brokerSchema } from "./broker-schema.ts";
import { influxSchema } from "./influx-schema.ts";
import { supplySchema } from "./instrument-schema.ts";
import { type PersonSettings, personSchema } from "./people-schema.ts";
import { type Settings, type StationKind, settingsSchema, stationKindSchema, stationSchema } from "./schema.ts";
import { sourceSchema } from "./source-schema.ts";

/** An entry that the schema accepts, with its place in the list. */
export interface Placed<T> {
  readonly index: number;
  readonly value: T;
}

/**
 * What of the settings can be cross-checked, although other parts may be wrong: the entries that the schema accepts,
 * and the names of all that were declared, so that one wrong entry does not make every mention of it look wrong too.
 */
export interface Checkable {
  readonly zone: string | null;
  readonly shifts: readonly Placed<Settings["shifts"][number]>[];
  /** Days on which no shift begins are named, and no shift is. */
  readonly freeDaysAlone: boolean;
  readonly lines: readonly Placed<Settings["lines"][number]>[];
  readonly sources: readonly Placed<Settings["sources"][number]>[];
  readonly stations: readonly Placed<Settings["stations"][number]>[];
  readonly supplies: readonly Placed<Settings["supplies"][number]>[];
  readonly kinds: Readonly<Record<string, StationKind>>;
  readonly stages: readonly string[];
  readonly causes: readonly string[];
  readonly persons: readonly Placed<PersonSettings>[];
  readonly sendsMessages: boolean;
  readonly broker: BrokerSettings | null;
  readonly influx: InfluxSettings | null;
  readonly declared: {
    readonly lines: ReadonlySet<string>;
    readonly sources: ReadonlySet<string>;
    readonly kinds: ReadonlySet<string>;
    readonly stations: ReadonlySet<string>;
    readonly supplies: ReadonlySet<string>;
  };
}

export function checkable(raw: unknown): Checkable {
  const top = group(raw);
  const parts = settingsSchema.shape;
  const kinds = Object.entries(group(top["stationKinds"]));
  const site = group(top["site"]);
  return {
    zone: typeof site["zone"] === "string" ? site["zone"] : null,
    shifts: accepted(parts.shifts.unwrap().element, top["shifts"]),
    freeDaysAlone: list(top["freeDays"]).length > 0 && list(top["shifts"]).length === 0,
    lines: accepted(parts.lines.unwrap().element, top["lines"]),
    sources: accepted(sourceSchema, top["sources"]),
    stations: accepted(stationSchema, top["stations"]),
    supplies: accepted(supplySchema, top["supplies"]),
    kinds: Object.fromEntries(
      kinds.flatMap(([name, kind]) => {
        const parsed = stationKindSchema.safeParse(kind);
        return parsed.success ? [[name, parsed.data]] : [];
      }),
    ),
    stages: list(top["stages"]).map(String),
    causes: list(top["causes"]).map(String),
    persons: accepted(personSchema, top["persons"]),
    sendsMessages: top["messages"] !== undefined,
    broker: brokerSchema.safeParse(top["broker"]).data ?? null,
    influx: influxSchema.safeParse(top["influx"]).data ?? null,
    declared: {
      lines: new Set(list(top["lines"]).map((line) => String(group(line)["id"]))),
      sources: new Set(list(top["sources"]).map((source) => String(group(source)["id"]))),
      kinds: new Set(kinds.map(([name]) => name)),
      stations: new Set(list(top["stations"]).map((station) => String(group(station)["id"]))),
      supplies: new Set(list(top["supplies"]).map((supply) => String(group(supply)["id"]))),
    },
  };
}

function accepted<S extends z.ZodType>(schema: S, raw: unknown): readonly Placed<z.output<S>>[] {
  return list(raw).flatMap((entry, index) => {
    const parsed = schema.safeParse(entry);
    return parsed.success ? [{ index, value: parsed.data }] : [];
  });
}

function list(raw: unknown): readonly unknown[] {
  return Array.isArray(raw) ? raw : [];
}

function group(raw: unknown): Readonly<Record<string, unknown>> {
  return typeof raw === "object" && raw !== null && !Array.isArray(raw) ? (raw as Record<string, unknown>) : {};
}
