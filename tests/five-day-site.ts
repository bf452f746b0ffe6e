import { readFileSync } from "node:fs";
import type { Site } from "../collector/platform/settings/site.ts";
import { fiveDaySettings } from "../simulator/five-day-settings.ts";
import { siteOf } from "./demo-site.ts";

/** The demo's site with shifts from Monday to Friday. */
export function fiveDaySite(): Site {
  const settings = fiveDaySettings(readFileSync("simulator/ostrimvale.yaml", "utf8"));
  if (settings === null) throw new Error("the demo has other shifts");
  return siteOf(settings);
}
