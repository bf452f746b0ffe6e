import { readFileSync, writeFileSync } from "node:fs";
import { expect, test } from "vitest";
import { publishedPayloadSchema } from "../../../collector/decode/payload-v1-schema.ts";

const file = "collector/decode/payload-v1.schema.json";

/** REWRITE=1 writes the file anew; look at the difference before it is committed. */
test("payload-v1.schema.json says what the code says", () => {
  if (process.env["REWRITE"] === "1") writeFileSync(file, `${JSON.stringify(publishedPayloadSchema(), null, 2)}\n`);
  expect(JSON.parse(readFileSync(file, "utf8"))).toEqual(publishedPayloadSchema());
});
