import { writeFileSync } from "node:fs";
import { publishedSchema } from "./published-schema.ts";

// Run after a change of the schema: node dist/collector/platform/settings/write-schema.js
const file = "collector/platform/settings/settings.schema.json";
writeFileSync(file, `${JSON.stringify(publishedSchema(), null, 2)}\n`);
