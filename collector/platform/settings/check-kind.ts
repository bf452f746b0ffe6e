import { checkCharacteristics, checkMain } from "./check-characteristic.ts";
import { checkContext } from "./check-context.ts";
import { checkInstruments } from "./check-instrument.ts";
import { checkSegmenter } from "./check-segmenter.ts";
import { checkSeries } from "./check-series.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";

/** Whether the parts of one station kind fit together: series, kinds of run, features, units, charts, policies. */
export function checkKind(kind: StationKind, path: SettingsPath): readonly Finding[] {
  return [
    ...checkSeries(kind, [...path, "series"]),
    ...checkInstruments(kind, [...path, "series"]),
    ...checkSegmenter(kind, kind.segmenter, [...path, "segmenter"]),
    ...checkCharacteristics(kind, kind, [...path, "characteristics"]),
    ...kind.moreRuns.flatMap((runs, index) => {
      const at = [...path, "moreRuns", index];
      return [
        ...idFindings(kind, index, [...at, "id"]),
        ...checkSegmenter(kind, runs.segmenter, [...at, "segmenter"]),
        ...checkCharacteristics(kind, runs, [...at, "characteristics"]),
      ];
    }),
    ...checkContext(kind, [...path, "context"]),
    ...checkMain(kind, [...path, "characteristics"]),
  ];
}

function idFindings({ moreRuns }: StationKind, index: number, path: SettingsPath): readonly Finding[] {
  if (moreRuns.findIndex(({ id }) => id === moreRuns[index]!.id) === index) return [];
  return [{ path, expected: "an id that no other kind of run here has" }];
}
