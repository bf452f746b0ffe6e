import type { ReadOptions, SampleRange, StoredSample, TrendColumn } from "./sample-store.ts";
import type { TrendGrid } from "./trend-grid.ts";

/** How pages read readings, wherever they are kept: the same questions, and the same answers, as `SampleStore` has. */
export interface ReadingPort {
  /** Samples with fromMs <= tMs < toMs, in time order. */
  read(range: SampleRange, options?: ReadOptions): Promise<readonly StoredSample[]>;
  /** As `SampleStore.trend`; a mean may differ in its last digits, since it is summed in another order. */
  trend(range: SampleRange, columns: number | TrendGrid): Promise<readonly TrendColumn[]>;
}
