import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { publishedSchema } from "../../../../collector/platform/settings/published-schema.ts";

const file = "collector/platform/settings/settings.schema.json";

test("the published JSON Schema is the one that settings are checked against", () => {
  const published = JSON.parse(readFileSync(file, "utf8"));
  expect(published, `${file} is made with: node dist/collector/platform/settings/write-schema.js`).toEqual(
    JSON.parse(JSON.stringify(publishedSchema())),
  );
});

test("the published JSON Schema asks for what has no default and for nothing else", () => {
  const { required, additionalProperties } = publishedSchema() as { required: string[]; additionalProperties: boolean };
  expect(required).toEqual(["site"]);
  expect(additionalProperties).toBe(false);
});
