import { writeFileSync } from "node:fs";
import { randomAt } from "../../simulator/random.ts";
import type { Gateway } from "./gateway.ts";

const minuteMs = 60_000;

/** What the test wrote into the past, so that it knows what must be drawn. */
export interface Past {
  readonly fromMs: number;
  readonly toMs: number;
  /** The run that a cold ladle spoiled, and its place among the newest hundred. */
  readonly spoiled: string;
  readonly spoiledPlace: number;
}

export const charted = "PO-A:pour.T1:OFW-2107";
export const withoutLimits = "PO-A:pour.T1:OFW-2130";
export const tooFew = "PO-A:pour.T1:OFW-2115";

/** A past of pours: 150 of one part with one spoiled, 120 of another, 14 of a third. Independent normal values. */
export function writePast(csv: string, nowMs: number): Past {
  const toMs = Math.floor(nowMs / 1_000) * 1_000 - 60 * minuteMs;
  const lines = ["run,station,start,end,feature,value,unit,part"];
  let spoiled = "";
  const pour = (part: string, at: number, value: number): string => {
    const start = toMs - at * 70 * minuteMs;
    const id = `PO-A:${new Date(start).toISOString().replace(/[-:.]/g, "")}`;
    const [from, to] = [start, start + 5_000].map((ms) => new Date(ms).toISOString());
    lines.push([id, "PO-A", from, to, "pour.T1", value.toFixed(2), "Cel", part].join(","));
    return id;
  };
  for (let n = 0; n < 150; n++) {
    const bad = n === 110;
    const value = bad ? 735 : 750 + 3.5 * randomAt(5, "PO-A", n, "bench").normal();
    const id = pour("OFW-2107", 150 - n, value);
    if (bad) spoiled = id;
  }
  for (let n = 0; n < 120; n++) pour("OFW-2130", 150.3 - n, 745 + 3.5 * randomAt(6, "PO-A", n, "bench").normal());
  for (let n = 0; n < 14; n++) pour("OFW-2115", 150.6 - n, 760 + 3.5 * randomAt(7, "PO-A", n, "bench").normal());
  writeFileSync(csv, `${lines.join("\n")}\n`);
  return { fromMs: toMs - 151 * 70 * minuteMs, toMs, spoiled, spoiledPlace: 60 };
}

/** A whole pour that began then. */
export async function pourAt(gateway: Gateway, startMs: number, celsius: number, part = "OFW-2107"): Promise<void> {
  const attributes = { part };
  await gateway.event("PO-A/pour", startMs, 1, attributes);
  const values = Array.from({ length: 40 }, (_, i) => celsius - 0.04 * i + 0.3 * Math.sin(i));
  await gateway.readings("PO-A/stream", "Cel", startMs, 100, values);
  await gateway.event("PO-A/pour", startMs + 4_000, 0, attributes);
}
