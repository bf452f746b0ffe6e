import { expect, test } from "vitest";
import { readFault } from "../../../simulator/fault-words.ts";
import { faultKinds } from "../../../simulator/faults.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import { thirtyDayFaults, thirtyDays } from "../../../simulator/script-30-day.ts";
import { faultLabel, trueLines } from "../../../simulator/truth.ts";
import { demoSite } from "../../demo-site.ts";

const key = { seed: 7, firstMs: Date.UTC(2026, 10, 24, 5) };
const hour = 3_600_000;
const series = new Set(demoSite().stations.flatMap((s) => Object.values(s.series).map(({ id }) => id)));

test("every fault has a label that says what it is and what it should move", () => {
  for (const kind of faultKinds) {
    const place = ["PR-01", "DR-1", "AO-1", "CT-A1", "PO-F", "PO-A", "PX-1", "SI-01", "AG-1", "GL-1", "SL-A", "RD-1"]
      .concat(["FU-A1", "CO-A", "SC-1", "WX-1", "IN-1", "BO-1", "PR-01/pressure", "GW-PR"])
      .find((name) => kind.at.test(name)) as string;
    const read = readFault(`${kind.name}@${place}@1h+30min`, key.firstMs);
    if (!read.ok) throw new Error(read.mistake);
    const label = faultLabel(key, read.fault, plantModel(key, [read.fault]));
    expect(label.type).toBe(kind.name);
    expect(label.is_sensor_fault).toBe(!label.is_process_fault);
    expect(Date.parse(label.t_end as string) - Date.parse(label.t_start)).toBe(hour / 2);
    expect(label.channel_ids.filter((id) => !series.has(id))).toEqual([]);
    for (const { feature } of label.expected_signals) expect(feature).toMatch(/^[a-z]+(\.[a-zA-Z0-9_]+)*$/);
  }
});

test("a boiler sag touches all presses, and the shots of its time", () => {
  const read = readFault("boiler-sag@PR-02@1h+17min", key.firstMs);
  if (!read.ok) throw new Error(read.mistake);
  const label = faultLabel(key, read.fault, plantModel(key, [read.fault]));
  expect(label.component).toBe("BO-1");
  expect(new Set(label.affected_runs.map((id) => id.slice(0, 5)))).toEqual(
    new Set(["HD-1:", "PR-01", "PR-02", "PR-03", "PR-04"]),
  );
  expect(label.affected_runs.length).toBeGreaterThan(8);
  expect(label.affected_runs.length).toBeLessThan(20);
});

test("the thirty days hold what the plant's story says, in order", () => {
  const faults = thirtyDayFaults(key);
  expect(faults).toHaveLength(thirtyDays.length);
  const starts = faults.map(({ fromMs }) => fromMs);
  expect(starts).toEqual([...starts].sort((a, b) => a - b));
  for (const { toMs } of faults.filter(({ toMs }) => Number.isFinite(toMs))) {
    expect(toMs).toBeLessThanOrEqual(key.firstMs + 30 * 24 * hour);
  }
});

test("the truth tells each run once, with values and origins, and of each defective casting what it went through", () => {
  const model = plantModel(key, []);
  const whole = [...trueLines(model, key.firstMs + 50 * hour, key.firstMs + 53 * hour)];
  const pieces = [0, 1, 2].flatMap((n) => [
    ...trueLines(model, key.firstMs + (50 + n) * hour, key.firstMs + (51 + n) * hour),
  ]);
  expect([...pieces].sort()).toEqual([...whole].sort());
  const lines = whole.map((line) => JSON.parse(line));
  const runs = lines.filter(({ kind }) => kind === "run");
  expect(new Set(runs.map(({ run }) => run)).size).toBe(runs.length);
  const [shot] = runs.filter(({ station }) => station === "PR-01");
  expect(shot.features["mold.plateau"].value).toBeGreaterThan(0.8);
  expect(shot.from[0].run).toMatch(/^SI-0[1-4]~SF-A/);
  const castings = lines.filter(({ kind }) => kind === "casting");
  for (const { run, suspects } of castings) {
    expect(run).toMatch(/^SK-[AF]:/);
    expect(Number.isFinite(suspects.residualPercent)).toBe(true);
  }
});
