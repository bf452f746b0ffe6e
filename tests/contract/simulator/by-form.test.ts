import { afterEach, beforeEach, expect, test } from "vitest";
import { hashSecret } from "../../../api/people/secrets.ts";
import { handValues } from "../../../collector/pipeline/hand-values.ts";
import { type FormDoor, secretsOf, writeByForm } from "../../../simulator/form.ts";
import { handwritten } from "../../../simulator/handwritten.ts";
import type { PlantKey } from "../../../simulator/plant-layout.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import { shiftAt } from "../../../simulator/site-clock.ts";
import { type RunningApi, runningApi } from "../api/running-api.ts";

const password = "white pattern under sand";
let api: RunningApi;
let door: FormDoor;
beforeEach(async () => {
  api = await runningApi({ open: false });
  const { people } = api.data;
  people.putAccount({ ...people.account("early-lead")!, password: await hashSecret(password) });
  door = { url: api.url, account: "early-lead", password, pins: secretsOf("simulator/demo-pins.txt") };
});
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

/** The last whole shift: people write of what is past. */
const { startMs: toMs } = shiftAt(Date.now());
const { startMs: fromMs } = shiftAt(toMs - 1);
const key: PlantKey = { seed: 5, firstMs: toMs - 86_400_000 };
const taken = (since: number, until: number) => handwritten(plantModel(key, []), since, until);
const entries = () => [...api.data.journal.read({ kinds: ["written-down"] })];

test("what people measured goes through the form at a shared terminal, each in a lead's name, once", async () => {
  const said: string[] = [];
  const write = () => writeByForm(door, taken, fromMs, toMs, (words) => said.push(words), new AbortController().signal);
  const expected = taken(fromMs, toMs);
  expect(expected.map(({ station, feature }) => `${station} ${feature}`)).toEqual([
    ...["PX-1 hand.density", "PX-2 hand.density", "SL-A hand.viscosity", "SL-F hand.viscosity"],
    ...["FU-A1 hand.density_index", "CW-1 hand.coat"],
  ]);
  expect(await write()).toBe(6);
  expect(said).toEqual([]);
  const lead = `${shiftAt(fromMs).name[0]!.toUpperCase()}${shiftAt(fromMs).name.slice(1)} lead`;
  expect(entries().map(({ body }) => body)).toMatchObject(
    expected.map(({ feature, unit, values, takenMs }) => ({ feature, unit, values, takenMs, by: lead })),
  );
  // The plant was started again: it writes the same, and nothing is there twice.
  expect(await write()).toBe(6);
  expect(entries()).toHaveLength(6);
  const { site, data } = api;
  data.journal.transaction(() => handValues(site, data.journal, () => undefined).advance(Date.now()));
  const points = [...data.journal.read({ kinds: ["point"] })].map(({ subject }) => subject);
  expect(points.filter((id) => id.includes("hand."))).toHaveLength(3 + 3 + 2 + 1 + 1);
});

test("with a PIN that is wrong nothing is written, and each refusal is said", async () => {
  const said: string[] = [];
  const stop = new AbortController().signal;
  const lost = { ...door, pins: new Map([...door.pins].map(([id]) => [id, "0000"])) };
  const first = taken(fromMs, toMs).slice(0, 2);
  expect(
    await writeByForm(
      lost,
      () => first,
      fromMs,
      toMs,
      (words) => said.push(words),
      stop,
    ),
  ).toBe(0);
  expect(said).toHaveLength(2);
  expect(said[0]).toMatch(/^PX-1 hand\.density is not written down: 403 .*wrong-pin/);
  expect(entries()).toEqual([]);
});

test("while nobody answers it is tried again, said once, and ends when it is told to", async () => {
  await api.stop();
  const said: string[] = [];
  const stop = new AbortController();
  const writing = writeByForm(door, taken, fromMs, toMs, (words) => said.push(words) && stop.abort(), stop.signal);
  expect(await writing).toBe(0);
  expect(said).toHaveLength(1);
  expect(said[0]).toContain("PX-1 hand.density is not written down");
  api = await runningApi();
});
