import { convert } from "../../spc/units/ucum.ts";
import type { Site, SiteSeries } from "../platform/settings/site.ts";
import type { KeepRules } from "../store/keep-within.ts";
import type { SeriesPlaces } from "../store/sample-store.ts";
import type { SeriesCatalogue, SeriesEntry } from "./decoder.ts";

/** The site's series as senders name them. */
export function seriesCatalogue(site: Site): SeriesCatalogue {
  const entries = new Map(siteSeries(site).map((series) => [series.id, toEntry(series)]));
  return { find: (id) => entries.get(id) };
}

/** The site's series as the store keeps them: a waveform's reduced ones under their own names. */
export function seriesPlaces(site: Site): SeriesPlaces {
  const series = new Map(siteSeries(site).map((one) => [one.id, one]));
  return {
    latenessMs: site.latenessMs,
    find: (id) => series.get(id) ?? series.get(id.slice(0, Math.max(id.lastIndexOf("."), 0))),
  };
}

/** How long the store keeps what, by the kind of series that the settings give. */
export function keepRules(site: Site): KeepRules {
  const kinds = new Map(siteSeries(site).map(({ id, kind }) => [id, kind]));
  const classes = { reading: "readings", waveform: "waveforms", event: "events" } as const;
  return {
    retention: site.retention,
    budgetBytes: site.diskBudgetBytes,
    classOf: (series) => {
      const kind = kinds.get(series) ?? kinds.get(series.slice(0, Math.max(series.lastIndexOf("."), 0)));
      return kind === undefined ? undefined : classes[kind];
    },
  };
}

function siteSeries(site: Site): readonly SiteSeries[] {
  return site.stations.flatMap((station) => Object.values(station.series));
}

function toEntry({ id, source, kind, unit }: SiteSeries): SeriesEntry {
  return { id, source, kind, unit, toCanonical: (value, from) => (from === unit ? value : convert(value, from, unit)) };
}
