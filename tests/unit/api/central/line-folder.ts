import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** Settings of a line as its copy brings them, in a folder of its own. */
export function writeLine(root: string, id: string, name: string, source = `GW-${id}`): void {
  mkdirSync(join(root, id), { recursive: true });
  const settings = `
site: { name: "${name}", zone: UTC, ambientPressureHpa: 1013.25, ambientPressureOrigin: standard atmosphere }
lines: [{ id: ${id}, name: ${id} }]
sources: [{ id: ${source}, topic: "works/${source}/#" }]
causes: [worn, bent]
`;
  writeFileSync(join(root, id, "site.yaml"), settings);
}
