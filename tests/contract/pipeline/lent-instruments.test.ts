import { afterEach, expect, test } from "vitest";
import type { Sample } from "../../../spc/model/sample.ts";
import { siteOf } from "../../demo-site.ts";
import { collectorRig, found, type Rig } from "./collector-rig.ts";
import { cycleMs, pressText, shotMessages, startMs } from "./press-line.ts";

/** A bench with a gateway of its own that judges the press's shots by the press's transmitter. */
const site = siteOf(
  pressText
    .replace(
      "unit: bar, every: 1 s, everyInRun: 500 ms }",
      "unit: bar, everyInRun: 500 ms, resolution: 0.001, instrument: { is: transmitter, noise: 0.002 } }",
    )
    .replace("stations:", '  - { id: GW-BN, topic: "small/GW-BN/#" }\nstations:')
    .replace(
      "stationKinds:",
      `  - { id: BN-1, kind: bench, line: one, source: GW-BN, borrows: { pressure: PR-01/pressure } }
stationKinds:
  bench:
    stage: Moulding
    runWord: look
    borrows: [pressure]
    series:
      step: { kind: event, quantity: step, unit: "1" }
    segmenter:
      { by: state-signal, role: step, states: { 1: fill, 5: autoclave, 6: vent }, opensAt: 1, closesAt: 0, timeout: 5 min }
    characteristics:
      - { feature: mold.plateau, name: plateau, quantity: steam-pressure, reference: gauge, digits: 3, every: 1 min, main: true }`,
    ),
);

const rigs: Rig[] = [];
afterEach(() => {
  for (const rig of rigs.splice(0)) rig.close();
});

function rigOf(): Rig {
  const rig = collectorRig(site);
  rigs.push(rig);
  return rig;
}

const shots = [0, 1, 2, 3, 4, 5];
const stuck = [2, 3];

/** What both gateways send of a shot: the bench's own says first, so that it would be cut first. */
function sent(place: number): readonly (readonly Sample[])[] {
  const messages = shotMessages({ press: "PR-01", place, plateau: 0.91 }).map((samples) =>
    stuck.includes(place) ? samples.map(frozen) : samples,
  );
  const own = messages.flatMap((samples) =>
    samples.filter(({ series }) => series === "PR-01/step").map((sample) => ({ ...sample, series: "BN-1/step" })),
  );
  return [own, ...messages];
}

function frozen(sample: Sample): Sample {
  return sample.series.endsWith("/pressure") ? { ...sample, value: 0.431, quality: "good" } : sample;
}

async function shoot(rig: Rig, places: readonly number[]): Promise<void> {
  for (const place of places) {
    for (const samples of sent(place)) {
      rig.commit(samples);
      await rig.cut();
    }
    rig.clock.advance(Math.max(0, startMs + (place + 1) * cycleMs - rig.clock.nowMs()));
  }
  await rig.wait(30);
}

const ofBench = (rig: Rig) => rig.entries("point").filter(({ station }) => station === "BN-1");

test("a borrower has no number from an instrument that its lender found at fault, and goes on afterwards", async () => {
  const rig = rigOf();
  await shoot(rig, shots);
  const points = ofBench(rig).map(({ body }) => body);
  expect(points.map(({ location, refusal }) => (location.value === null ? refusal?.code : "a number"))).toEqual([
    ...["a number", "a number", "instrument-fault", "instrument-fault", "a number", "a number"],
  ]);
  expect(points[2]?.refusal?.detail).toMatch(/^pressure of PR-01 read 0\.431 bar \d+ times in a row/);
  // The flag is the instrument's own, and one.
  expect(new Set(rig.entries("instrument").map(({ body }) => body.flag)).size).toBe(1);
});

test("a restart, lost checkpoints, and readings cut all at once give a borrower the same", async () => {
  const rig = rigOf();
  await shoot(rig, [0, 1, 2]);
  rig.restart();
  await shoot(rig, [3, 4, 5]);
  const before = rig.data().journal.read({});
  for (const station of site.stations) rig.data().journal.saveCheckpoint(`station/${station.id}`, null);
  rig.restart();
  await rig.wait(30);
  expect(rig.data().journal.read({})).toEqual(before);

  const other = rigOf();
  for (const place of shots) for (const samples of sent(place)) other.commit(samples);
  await other.wait(30);
  expect(found(other.data().journal.read({}))).toEqual(found(before));
});

test("what a lender's check tells later leaves a run as it was judged", async () => {
  const rig = rigOf();
  await shoot(rig, [0, 1]);
  const series = { station: "PR-01", series: "PR-01/pressure", role: "pressure" };
  const sinceMs = startMs - 1;
  // As if of a run of the lender's that was closed long after its end.
  const atMs = startMs + 1;
  const body = {
    ...{ ...series, flag: "PR-01.pressure:fault:made", check: "zero" as const, state: "began" as const },
    ...{ verdict: "fault" as const, says: "reads 0.4 bar when vented", sinceMs, atMs, foundMs: atMs, late: false },
  };
  const { journal } = rig.data();
  journal.append([{ kind: "instrument", body, id: "instrument/made", station: "PR-01", subject: body.flag, atMs }]);
  await shoot(rig, [4]);
  const codes = (): readonly (string | undefined)[] => ofBench(rig).map((entry) => entry.body.refusal?.code);
  expect(codes()).toEqual(["no-limits", "no-limits", "instrument-fault"]);
  for (const station of site.stations) journal.saveCheckpoint(`station/${station.id}`, null);
  rig.restart();
  await rig.wait(30);
  expect(codes()).toEqual(["no-limits", "no-limits", "instrument-fault"]);
});
