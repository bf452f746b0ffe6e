import { readFileSync, writeFileSync } from "node:fs";
import { expect, test } from "vitest";
import { publishedSchema } from "../../../../collector/platform/settings/published-schema.ts";

const file = "collector/platform/settings/settings.schema.json";

/** REWRITE=1 writes the file anew; look at the difference before it is committed. */
test("the published JSON Schema is the one that settings are checked against", () => {
  const schema = JSON.parse(JSON.stringify(publishedSchema()));
  if (process.env["REWRITE"] === "1") writeFileSync(file, `${JSON.stringify(schema, null, 2)}\n`);
  expect(JSON.parse(readFileSync(file, "utf8"))).toEqual(schema);
});

test("the published JSON Schema asks for what has no default and for nothing else", () => {
  const { required, additionalProperties } = publishedSchema() as { required: string[]; additionalProperties: boolean };
  expect(required).toEqual(["site"]);
  expect(additionalProperties).toBe(false);
});
