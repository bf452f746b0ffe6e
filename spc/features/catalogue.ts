import type { FeatureExtractor } from "../model/run.ts";
import { dryDwEnd } from "./dry-dw-end.ts";
import { dryRhPeak } from "./dry-rh-peak.ts";
import { moldPlateau } from "./mold-plateau.ts";
import { moldRise } from "./mold-rise.ts";
import { moldTAbove } from "./mold-t-above.ts";
import { ovenMax } from "./oven-max.ts";
import { ovenMean } from "./oven-mean.ts";
import { ovenSpread } from "./oven-spread.ts";
import { pourT1 } from "./pour-t1.ts";
import { pourTime } from "./pour-time.ts";
import { vibCrest } from "./vib-crest.ts";
import { vibHf } from "./vib-hf.ts";
import { vibRms } from "./vib-rms.ts";

/** Makes an extractor from the numbers in the settings; a RangeError names a setting it does not know or cannot use. */
export type FeatureFactory = (settings: Readonly<Record<string, number>>) => FeatureExtractor;

/** Every feature there is, by the id that settings name it by. */
export const featureCatalogue: Readonly<Record<string, FeatureFactory>> = {
  "mold.plateau": moldPlateau,
  "mold.rise": moldRise,
  "mold.t_above": moldTAbove,
  "oven.mean": ovenMean,
  "oven.max": ovenMax,
  "oven.spread": ovenSpread,
  "dry.dw_end": dryDwEnd,
  "dry.rh_peak": dryRhPeak,
  "vib.rms": vibRms,
  "vib.crest": vibCrest,
  "vib.hf": vibHf,
  "pour.T1": pourT1,
  "pour.time": pourTime,
};
