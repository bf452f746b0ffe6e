import type { RoleSample } from "../../spc/model/run.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { mergeSamples } from "./merge-samples.ts";
import type { RoleSeries } from "./role-series.ts";

export interface SampleSlice {
  readonly samples: readonly RoleSample[];
  /** All samples before this time are among them, or were in earlier slices. */
  readonly toMs: number;
}

/**
 * Reads a station's next samples in time order, at most `limit` of each series. Where a series has more, the slice
 * ends for all of them at its last sample read, so that what is cut later never depends on where slices end.
 */
export function readSlice(
  store: SampleStore,
  series: readonly RoleSeries[],
  range: { readonly fromMs: number; readonly toMs: number },
  limit: number,
): SampleSlice {
  let { toMs } = range;
  const lists = series.map((one) => {
    const samples = store.read({ series: one.series, ...range }, { limit });
    if (samples.length === limit) toMs = Math.min(toMs, samples[limit - 1]!.tMs + 1);
    // Written into the store's own fresh objects: a copy of each would cost more than all else here.
    return samples.map((sample): RoleSample => Object.assign(sample, { role: one.role }));
  });
  return { samples: mergeSamples(lists.map((list) => before(list, toMs))), toMs };
}

function before(samples: readonly RoleSample[], toMs: number): readonly RoleSample[] {
  const last = samples.at(-1);
  if (last === undefined || last.tMs < toMs) return samples;
  return samples.slice(
    0,
    samples.findIndex((sample) => sample.tMs >= toMs),
  );
}
