import { readFileSync } from "node:fs";
import { loadSettings } from "../collector/platform/settings/load.ts";
import type { Site } from "../collector/platform/settings/site.ts";

const demoSettings = "simulator/ostrimvale.yaml";
const known = new Map<string, Site>();

/**
 * The site of a settings text, read once for all test files of a worker: the demo's takes a fifth of a second, and many
 * tests need it. It is frozen, so that none changes what the next one gets.
 */
export function siteOf(text: string): Site {
  const before = known.get(text);
  if (before !== undefined) return before;
  const loaded = loadSettings(Buffer.from(text));
  if (!loaded.ok) throw new Error(`the settings do not load: ${JSON.stringify(loaded.mistakes)}`);
  const site = frozen(loaded.site);
  known.set(text, site);
  return site;
}

export function demoSite(): Site {
  return siteOf(readFileSync(demoSettings, "utf8"));
}

function frozen<T>(value: T): T {
  if (typeof value !== "object" || value === null || Object.isFrozen(value)) return value;
  for (const part of Object.values(value)) frozen(part);
  return Object.freeze(value);
}
