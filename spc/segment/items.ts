import { plainWord, type RunEvent, type RunSegmenter } from "../model/run.ts";
import { checkedLimits, closed, type OpenRun, opened, overdue, told } from "./open-run.ts";
import type { ItemsConfig } from "./segmenter.ts";

export interface ItemsState {
  /** Newest sample of the station, of any role. */
  readonly lastMs: number | null;
  /** What is there, in the order in which it came. */
  readonly open: readonly { readonly item: string; readonly run: OpenRun }[];
}

/** More than stand anywhere at once: an outlet that never speaks must not fill the memory. */
const usualMost = 500;

/**
 * Runs of many things that are at one station at once, each told apart by name: flasks that cool, fills of a silo.
 *
 * An item that is in already and comes in again is the same one; one that goes out and never came in is nothing.
 *
 * @shape   samples of one station under their roles, in time order; one older than its predecessor is left out, and an
 *          event without a name or a number concerns nothing
 * @unit    ms since the epoch, source time
 * @method  each item is a run of its own, from the event that brings it in to the one that takes it out; only events of
 *          its own name tell of it. Where more come in than may be there, the oldest ends by `timeout`
 * @throws  RangeError when the opening state is the closing one, or for limits that are not positive
 * @cost    O(items there) a sample
 * @source  derived here
 * @checked tests/unit/spc/segment/items.test.ts, tests/property/spc/segment/segmenters.test.ts
 */
export function itemsSegmenter(station: string, config: ItemsConfig): RunSegmenter<ItemsState> {
  const { role, key, opensAt = 1, closesAt = 0, most = usualMost } = config;
  const limits = checkedLimits(config);
  if (opensAt === closesAt) throw new RangeError(`an item cannot come and go at the same state ${opensAt}`);
  if (!(most >= 1)) throw new RangeError(`at least one item must fit, got ${most}`);
  const named = (item: string): string => `${station}~${plainWord(item)}`;
  const end = (one: ItemsState["open"][number], endMs: number, by: "end-condition" | "gap" | "timeout") =>
    closed(station, one.run, endMs, by, named(one.item));

  return {
    initial: { lastMs: null, open: [] },
    step(state, sample) {
      const { tMs } = sample;
      const lastMs = state.lastMs ?? tMs;
      if (tMs < lastMs) return { state, out: [] };

      const out: RunEvent[] = [];
      let { open } = state;
      const over = open.flatMap((one) => {
        const why = overdue(one.run, lastMs, tMs, limits);
        return why === undefined ? [] : [{ one, why }];
      });
      if (over.length > 0) {
        for (const { one, why } of over) out.push(...end(one, why.endMs, why.closedBy as "gap" | "timeout"));
        open = open.filter((one) => !over.some((other) => other.one === one));
      }

      const item = sample.role === role && sample.quality !== "bad" ? sample.attributes?.[key] : undefined;
      const there = item === undefined ? undefined : open.find((one) => one.item === item);
      if (there !== undefined) {
        const heard = { item: there.item, run: told(there.run, sample.attributes) };
        const gone = sample.value === closesAt;
        if (gone) out.push(...end(heard, tMs, "end-condition"));
        open = open.flatMap((one) => (one !== there ? [one] : gone ? [] : [heard]));
      } else if (item !== undefined && item !== "" && sample.value === opensAt) {
        const oldest = open.length >= most ? open[0] : undefined;
        if (oldest !== undefined) out.push(...end(oldest, tMs, "timeout"));
        const run = { startMs: tMs, segments: [], segment: null, context: { ...sample.attributes } };
        open = [...(oldest === undefined ? open : open.slice(1)), { item, run }];
        out.push(opened(station, tMs, named(item)));
      }
      return { state: { lastMs: tMs, open }, out };
    },
  };
}
