import { z } from "zod";
import { settingsSchema } from "./schema.ts";

interface JsonSchema {
  readonly const?: unknown;
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly additionalProperties?: JsonSchema | boolean;
  readonly items?: JsonSchema;
  readonly oneOf?: readonly JsonSchema[];
}

/** The settings' JSON Schema, as published in `settings.schema.json`; a test holds the two equal. */
export function publishedSchema(): Readonly<Record<string, unknown>> {
  return {
    title: "Steadypour settings",
    description: "One site: lines, stations, series, segmenters, characteristics, specifications, charts, shifts.",
    ...z.toJSONSchema(settingsSchema, { io: "input" }),
  };
}

/**
 * Keys that may stand in the group at a path of these settings: for the message about one that may not. Of a choice, such
 * as the formats of a source, only those count that the settings have chosen.
 */
export function keysAt(path: readonly (string | number)[], settings: unknown): readonly string[] {
  let schemas: readonly JsonSchema[] = [publishedSchema() as JsonSchema];
  let value = settings;
  for (const part of path) {
    schemas = schemas.flatMap((schema) => inside(schema, part, value));
    value = typeof value === "object" && value !== null ? (value as Record<string | number, unknown>)[part] : undefined;
  }
  const chosen = schemas.flatMap((schema) => alternatives(schema, value));
  return [...new Set(chosen.flatMap((schema) => Object.keys(schema.properties ?? {})))];
}

function alternatives(schema: JsonSchema, value: unknown): readonly JsonSchema[] {
  return schema.oneOf?.filter((one) => mayBe(one, value)) ?? [schema];
}

/** Whether the words that tell one choice from another are those of this one. */
function mayBe({ properties = {}, required = [] }: JsonSchema, value: unknown): boolean {
  const group = typeof value === "object" && value !== null ? (value as Readonly<Record<string, unknown>>) : {};
  return Object.entries(properties)
    .filter(([, property]) => property.const !== undefined)
    .every(([key, property]) => (group[key] === undefined ? !required.includes(key) : group[key] === property.const));
}

function inside(schema: JsonSchema, part: string | number, value: unknown): readonly JsonSchema[] {
  return alternatives(schema, value).flatMap((one) => {
    if (typeof part === "number") return one.items === undefined ? [] : [one.items];
    const known = one.properties?.[part];
    if (known !== undefined) return [known];
    return typeof one.additionalProperties === "object" ? [one.additionalProperties] : [];
  });
}
