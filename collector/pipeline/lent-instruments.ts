import { instrumentRefusal } from "../../spc/health/instrument.ts";
import type { FaultOn, FaultOver, InstrumentState } from "../../spc/health/instrument-state.ts";
import type { FeatureValue, InstrumentNews } from "../../spc/model/journal-entry.ts";
import type { Run } from "../../spc/model/run.ts";
import type { Station } from "../platform/settings/site.ts";
import { runEntryId } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import type { JournalNews } from "./journal-news.ts";
import { seriesOfRole } from "./role-series.ts";

/** Instruments of other stations that a station borrows from. */
export interface LentInstruments {
  /** The feature as it stands, or refused where a borrowed instrument that it reads was at fault in that run. */
  vouched(run: Run, roles: readonly string[], feature: FeatureValue): FeatureValue;
}

/** A fault with the source times at which its lender's readings told of it. */
interface Lent extends FaultOver {
  readonly toldMs: number;
}

/**
 * What the lenders' checks had told by the end of a run: they are cut before it. What was told later is left out, however
 * far a lender has come meanwhile, and a run that the journal holds stays as it was judged: so a replay gives the same.
 */
export function lentInstruments(journal: Journal, news: JournalNews, station: Station): LentInstruments {
  const series = new Set(Object.values(station.borrowed).flatMap(({ from }) => Object.values(from)));
  if (series.size === 0) return { vouched: (_run, _roles, feature) => feature };
  const ids = new Set([...series].map(({ id }) => id));
  const faults = new Map<string, readonly Lent[]>();

  const take = ({ series: id, check, state, verdict, says, sinceMs, atMs }: InstrumentNews): void => {
    const known = faults.get(id) ?? [];
    const fault = { check, verdict, says, sinceMs, toldMs: atMs, endMs: Number.POSITIVE_INFINITY };
    faults.set(
      id,
      state === "began"
        ? [...known, fault]
        : known.map((one) => (one.check === check && one.sinceMs === sinceMs ? { ...one, endMs: atMs } : one)),
    );
  };
  for (const lender of new Set([...series].map((one) => one.station))) {
    news.listen(lender, (entry) => {
      if (entry.kind === "instrument" && ids.has(entry.body.series)) take(entry.body);
    });
  }

  return {
    vouched: (run, roles, feature) => {
      if (feature.refusal?.code === "instrument-fault") return feature;
      const lent = roles.flatMap((role) => {
        const one = Object.hasOwn(station.series, role) ? undefined : seriesOfRole(station, role, run.context);
        return one === undefined ? [] : [{ role, one }];
      });
      if (lent.length === 0) return feature;
      const written = journal.find(runEntryId(run.id));
      if (written?.kind === "run") {
        const was = written.body.features.find((one) => one.feature === feature.feature);
        return was?.refusal?.code === "instrument-fault" ? { ...feature, value: null, refusal: was.refusal } : feature;
      }
      for (const { role, one } of lent) {
        const state = asTold(faults.get(one.id) ?? [], run.endMs);
        const refusal = instrumentRefusal(state, `${role} of ${one.station}`, run, feature.value === null);
        if (refusal !== undefined) return { ...feature, value: null, refusal };
      }
      return feature;
    },
  };
}

function asTold(faults: readonly Lent[], byMs: number): Pick<InstrumentState, "on" | "past"> {
  const told = faults.filter(({ toldMs }) => toldMs <= byMs);
  const on = told.filter(({ endMs }) => endMs > byMs).map((one): [string, FaultOn] => [one.check, one]);
  return { on: Object.fromEntries(on), past: told.filter(({ endMs }) => endMs <= byMs) };
}
