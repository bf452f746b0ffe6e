import { checkCharacteristics } from "./check-characteristic.ts";
import { checkSegmenter } from "./check-segmenter.ts";
import { checkSeries } from "./check-series.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";

/** Whether the parts of one station kind fit together: series, segmenter, features, units, charts, policies. */
export function checkKind(kind: StationKind, path: SettingsPath): readonly Finding[] {
  return [
    ...checkSeries(kind, [...path, "series"]),
    ...checkSegmenter(kind, [...path, "segmenter"]),
    ...checkCharacteristics(kind, [...path, "characteristics"]),
  ];
}
