import { readFileSync } from "node:fs";
import { loadSettings } from "../collector/platform/settings/load.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import { fiveDaySettings } from "../simulator/five-day-settings.ts";

/** The demo's site with shifts from Monday to Friday. */
export function fiveDaySite(): Site {
  const settings = fiveDaySettings(readFileSync("simulator/ostrimvale.yaml", "utf8"));
  if (settings === null) throw new Error("the demo has other shifts");
  const loaded = loadSettings(Buffer.from(settings));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site;
}
