import { readFileSync } from "node:fs";
import { loadSettings } from "../collector/platform/settings/load.ts";
import type { Site } from "../collector/platform/settings/site.ts";

/** The demo's settings with shifts from Monday to Friday. */
export function fiveDaySettings(): string {
  const text = readFileSync("simulator/ostrimvale.yaml", "utf8");
  return text.replace(
    /(\{ name: (?:early|late|night), from: "\d\d:\d\d") \}/g,
    "$1, days: [monday, tuesday, wednesday, thursday, friday] }",
  );
}

export function fiveDaySite(): Site {
  const loaded = loadSettings(Buffer.from(fiveDaySettings()));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site;
}
