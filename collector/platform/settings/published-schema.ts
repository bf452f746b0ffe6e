import { z } from "zod";
import { settingsSchema } from "./schema.ts";

interface JsonSchema {
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

/** Keys that may stand in the group at a path: for the message about one that may not. */
export function keysAt(path: readonly (string | number)[]): readonly string[] {
  const places = path.reduce<readonly JsonSchema[]>(
    (schemas, part) => schemas.flatMap((schema) => inside(schema, part)),
    [publishedSchema() as JsonSchema],
  );
  return [...new Set(places.flatMap(alternatives).flatMap((schema) => Object.keys(schema.properties ?? {})))];
}

function alternatives(schema: JsonSchema): readonly JsonSchema[] {
  return schema.oneOf ?? [schema];
}

function inside(schema: JsonSchema, part: string | number): readonly JsonSchema[] {
  return alternatives(schema).flatMap((one) => {
    if (typeof part === "number") return one.items === undefined ? [] : [one.items];
    const known = one.properties?.[part];
    if (known !== undefined) return [known];
    return typeof one.additionalProperties === "object" ? [one.additionalProperties] : [];
  });
}
