import type { Site } from "../../../collector/platform/settings/site.ts";
import type { IncomingMessage } from "../../../collector/store/sample-store.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { siteOf } from "../../demo-site.ts";
import { siteText } from "../../unit/platform/settings/site-text.ts";
import { incoming } from "../store/incoming.ts";

/** Two presses on one source, with short shots so that many fit into a test. */
export const pressText: string = siteText
  .replace("everyInRun: 50 ms", "everyInRun: 500 ms")
  .replace("every: 6 min", "every: 1 min")
  .replace(
    "  - { id: PR-01, kind: press, line: one, source: GW-PR }",
    "  - { id: PR-01, kind: press, line: one, source: GW-PR }\n  - { id: PR-02, kind: press, line: one, source: GW-PR }",
  );
export const site: Site = siteOf(pressText);
export const startMs = Date.UTC(2026, 10, 25, 6, 0, 0);
export const cycleMs = 60_000;
const spacingMs = 500;

/** One shot: its plateau, or null where the transmitter gave no number. */
export interface Shot {
  readonly press: "PR-01" | "PR-02";
  readonly place: number;
  readonly plateau: number | null;
}

/** What the gateway sends of a shot, in some messages: fill from 0 s, autoclave from 2 s to 22 s, vent until 24 s. */
export function shotMessages({ press, place, plateau }: Shot): readonly (readonly Sample[])[] {
  const zeroMs = startMs + place * cycleMs + (press === "PR-01" ? 0 : 7_000);
  const step = (atMs: number, value: number): Sample => ({
    series: `${press}/step`,
    tMs: zeroMs + atMs,
    value,
    quality: "good",
    attributes: { part: "OFW-2107" },
  });
  const pressures = Array.from({ length: 24_000 / spacingMs }, (_, at): Sample => {
    const steam = at * spacingMs >= 2_000 && at * spacingMs < 22_000;
    const value = plateau === null ? null : steam ? plateau + 0.002 * (at % 3) : 0.05 + 0.01 * (at % 2);
    return {
      series: `${press}/pressure`,
      tMs: zeroMs + at * spacingMs,
      value,
      quality: value === null ? "bad" : "good",
    };
  });
  const third = Math.ceil(pressures.length / 3);
  return [
    [step(0, 1), ...pressures.slice(0, third), step(2_000, 5)],
    pressures.slice(third, 2 * third),
    [...pressures.slice(2 * third), step(22_000, 6), step(24_000, 0)],
  ];
}

export function message(samples: readonly Sample[], receivedMs: number): IncomingMessage {
  return incoming(samples, { topic: "small/GW-PR/readings", payload: new Uint8Array(), receivedMs });
}

/** A compaction table whose vertical axis alone is measured. */
export const tableText = `site: { name: Small works, zone: CET, ambientPressureHpa: 1000, ambientPressureOrigin: measured }
lateness: 5 s
lines: [{ id: one, name: Line one }]
stages: [Compaction]
sources: [{ id: GW-CT, topic: "small/GW-CT/#" }]
stations: [{ id: CT-1, kind: table, line: one, source: GW-CT }]
stationKinds:
  table:
    stage: Compaction
    runWord: flask
    series:
      vibration-z: { kind: waveform, quantity: vibration-acceleration, unit: "[g]", everyInRun: 1 s }
      stage: { kind: event, quantity: step, unit: "1" }
    segmenter:
      { by: state-signal, role: stage, states: { 1: bed, 2: fill, 3: final }, opensAt: 1, closesAt: 0, timeout: 10 min }
    characteristics:
      - { feature: vib.rms, name: RMS, quantity: vibration-acceleration, reference: rms, digits: 3, every: 25 min, main: true }
`;
