import { plant } from "../../simulator/plant.ts";
import { sources } from "../../simulator/plant-layout.ts";

/** One message as it goes over the wire, and the (series, time) that must be in the store once it is acknowledged. */
export interface StreamMessage {
  readonly source: string;
  readonly topic: string;
  readonly payload: string;
  readonly keys: readonly SampleKey[];
}

export interface SampleKey {
  readonly series: string;
  readonly tMs: number;
  /** As sent; null where the store keeps something derived from it. */
  readonly value: number | null;
}

type Body = Readonly<Record<string, unknown>>;

/** A lone reading or event of each gateway, outside of any run. */
const loneWords: Readonly<Record<(typeof sources)[number], Body>> = {
  "GW-PR": { series: "PR-01/pressure", value: 0, unit: "bar" },
  "GW-AO": { series: "AO-1/t1", value: 60, unit: "Cel" },
  "GW-DR": { series: "DR-1/return-rh", value: 20, unit: "%" },
  "GW-CT": { series: "CT-A1/stage", value: 0 },
  "GW-PO": { series: "PO-A/pour", value: 0 },
  "GW-PX": { series: "SI-01/silo-t", value: 25, unit: "Cel" },
  "GW-GL": { series: "GL-1/tank-t", value: 120, unit: "Cel" },
  "GW-SL": { series: "SL-A/level", value: 50, unit: "%" },
  "GW-FU": { series: "FU-A1/metal-t", value: 750, unit: "Cel" },
  "GW-SK": { series: "SC-1/level", value: 50, unit: "%" },
  "GW-ST": { series: "WX-1/dew", value: 5, unit: "Cel" },
};

/**
 * What the simulated plant sends in a stretch of time: all gateways, in time order, the same at every call. A minute
 * later each says one more thing, so that all before it is complete by the gateways' own time; otherwise it would hang
 * on our clock whether the last runs are cut. A minute before each says one thing as well, so that its counter is known.
 */
export function plantStream(seed: number, fromMs: number, toMs: number): readonly StreamMessage[] {
  const works = plant({ seed, firstMs: fromMs }, []);
  const counts = new Map<string, number>();
  const messages: StreamMessage[] = [];
  const add = (source: string, kind: string, body: Body): void => {
    const seq = counts.get(source) ?? 0;
    counts.set(source, seq + 1);
    const payload = JSON.stringify({ v: 1, kind, source, seq, ...body });
    messages.push({ source, topic: `ostrimvale/${source}/${kind}`, payload, keys: keysOf(kind, body) });
  };
  const sayLone = (t: number): void => {
    for (const source of sources) {
      const one = { ...loneWords[source], t };
      if ("unit" in one) add(source, "readings", { readings: [one] });
      else add(source, "event", one);
    }
  };
  sayLone(fromMs - 60_000);
  for (let t = fromMs; t < toMs; t += 1000) {
    for (const source of sources) {
      for (const { kind, body } of works.messages(source, t, t + 1000)) add(source, kind, body);
    }
  }
  sayLone(toMs + 60_000);
  return messages;
}

function keysOf(kind: string, body: Body): readonly SampleKey[] {
  if (kind === "event")
    return [{ series: String(body["series"]), tMs: Number(body["t"]), value: Number(body["value"]) }];
  if (kind === "waveform") {
    const tMs = Number(body["t"]);
    return Object.keys(body["axes"] as Body).map((axis) => ({ series: `${axis}.rms`, tMs, value: null }));
  }
  return (body["readings"] as readonly Body[]).flatMap((reading) => {
    const series = String(reading["series"]);
    const values = (reading["values"] ?? [reading["value"]]) as readonly number[];
    const everyMs = Number(reading["everyMs"] ?? 0);
    return values.map((value, i) => ({ series, tMs: Math.round(Number(reading["t"]) + i * everyMs), value }));
  });
}
