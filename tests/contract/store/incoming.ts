import type { IncomingMessage, SeriesPlaces } from "../../../collector/store/sample-store.ts";
import type { Sample } from "../../../spc/model/sample.ts";

/** Two stations of one source and one of another. */
export const places: SeriesPlaces = {
  latenessMs: 30_000,
  find: (series) => {
    const station = series.split("/")[0] ?? "";
    if (station.startsWith("PR-")) return { source: "GW-PR", station };
    return station === "AO-1" ? { source: "GW-AO", station } : undefined;
  },
};

export const pressure = "PR-01/pressure";

export function reading(tMs: number, value: number | null, series: string = pressure): Sample {
  return { series, tMs, value, quality: value === null ? "bad" : "good" };
}

/** A message as the decoder would hand it over; `changes` overrides any field. */
export function incoming(samples: readonly Sample[], changes: Partial<IncomingMessage> = {}): IncomingMessage {
  return {
    topic: "ostrimvale/GW-PR/readings",
    payload: new TextEncoder().encode("{}"),
    receivedMs: 1_764_057_912_345,
    qos: 1,
    source: "GW-PR",
    sequence: null,
    samples,
    snapshots: [],
    rejections: [],
    items: samples.length,
    samplesPerItem: 1,
    ...changes,
  };
}
