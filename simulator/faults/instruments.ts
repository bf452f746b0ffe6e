import { type FaultKind, faultKind } from "./kind.ts";

const series = { at: /^[A-Z]{2}-[A-Z0-9]+\/[a-z][a-z0-9-]*$/, where: "one series such as AO-1/t2 or PR-01/chamber-t" };
const gateway = { at: /^GW-(PR|AO|DR|CT|PO|PX|GL|SL|FU|SK|ST)$/, where: "a gateway such as GW-PR" };
const sensor = { sensor: true } as const;

/** What any reading, or any gateway, can suffer. */
export const instrumentFaults: readonly FaultKind[] = [
  faultKind({ name: "stuck", ...series, ...sensor, shape: "stuck", says: "the reading repeats its last value" }),
  faultKind({
    name: "wire-open",
    ...series,
    ...sensor,
    shape: "dropout",
    says: "the wire is broken, the loop stands at 3.4 mA: no value, quality bad",
  }),
  faultKind({
    name: "offset",
    ...series,
    ...sensor,
    shape: "bias",
    size: "one of the series' own unit",
    says: "the reading is off by a constant",
  }),
  faultKind({
    name: "drift",
    ...series,
    ...sensor,
    shape: "drift",
    size: "one of the series' own unit a day",
    says: "the reading drifts",
  }),
  faultKind({
    name: "spikes",
    ...series,
    ...sensor,
    shape: "oscillation",
    size: "one of the series' own unit",
    says: "one reading in two hundred is a spike up or down",
  }),
  faultKind({
    name: "shorted",
    ...series,
    ...sensor,
    shape: "step",
    says: "the thermocouple is shorted near its terminals: it reads the ambient 22 Cel",
  }),
  faultKind({ name: "dropout", ...series, ...sensor, shape: "dropout", says: "the series sends nothing" }),
  faultKind({
    name: "silent",
    ...gateway,
    ...sensor,
    shape: "dropout",
    scope: "group",
    says: "the gateway sends nothing",
  }),
  faultKind({
    name: "outage",
    ...gateway,
    ...sensor,
    shape: "dropout",
    scope: "group",
    lastsMs: 40 * 60_000,
    says: "the gateway sends nothing; afterwards the second half of what it missed comes in late",
  }),
  faultKind({
    name: "clock-skew",
    ...gateway,
    ...sensor,
    shape: "bias",
    scope: "group",
    size: "5 s",
    says: "the gateway's clock goes ahead",
  }),
];
