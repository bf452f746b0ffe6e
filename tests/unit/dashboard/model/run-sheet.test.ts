import { expect, test } from "vitest";
import type { WireRunSheet } from "../../../../api/contract/wire.ts";
import { givenFeatures, runPanels, snapshotPanels } from "../../../../dashboard/model/run-sheet.ts";
import { characteristic, flag, iso, noonMs, point, runAt, signalled } from "../wire-samples.ts";

type Trace = WireRunSheet["traces"][number];

function trace(over: Partial<Trace>): Trace {
  return {
    series: "PR-01/pressure",
    role: "pressure",
    quantity: "steam-pressure",
    reference: "gauge",
    unit: "bar",
    kind: "reading",
    everyMs: 1_000,
    tMs: [0, 1_000, 2_000],
    value: [0, null, 0.9],
    thinned: false,
    before: [],
    ...over,
  };
}

function sheet(over: Partial<WireRunSheet> = {}): WireRunSheet {
  return {
    ...{ byHand: [], tracesAway: null, revisions: [], readingsGone: [], ladle: null, dryness: null },
    run: {
      id: runAt(0),
      station: "PR-01",
      runWord: "shot",
      start: iso(noonMs),
      end: iso(noonMs + 60_000),
      closedBy: "end-condition",
      imported: false,
      context: {},
      segments: [{ name: "cross-steam-a", from: iso(noonMs), to: iso(noonMs + 30_000) }],
      features: [
        { feature: "mold.plateau", version: 1, unit: "bar", value: 0.85 },
        {
          feature: "mold.rise",
          version: 1,
          unit: "s",
          value: null,
          refusal: { code: "x", detail: "no autoclave step" },
        },
      ],
    },
    traces: [trace({})],
    missing: [],
    snapshots: [],
    points: [signalled(point(0, 0.85), flag().id, "beyond-limit", "below")],
    characteristics: [characteristic()],
    flags: [flag()],
    previous: null,
    next: null,
    ...over,
  };
}

test("a feature stands on the small ruler of the limits that judged it, or says why there is no number", () => {
  const [plateau, rise] = givenFeatures(sheet());
  expect(plateau).toMatchObject({
    name: "Plateau",
    value: "0.850",
    unit: "barg",
    flagged: true,
    detail: "limits 0.870 to 0.930",
  });
  expect(plateau?.place).toBeCloseTo(0, 9);
  expect(rise).toMatchObject({ value: null, reason: "no autoclave step", place: null, flagged: false });
});

test("on a chart of deviations the value stands as it was, and beside it how far it lies from its part's target", () => {
  const off = characteristic({ plotted: "deviation", unit: "bar", reference: "difference" });
  const [plateau] = givenFeatures(sheet({ characteristics: [off], points: [point(0, 0.87)] }));
  expect(plateau).toMatchObject({
    value: "0.850",
    detail: "+0.870\u202fbar off its part's target; limits 0.870 to 0.930",
  });
  expect(plateau?.place).toBeCloseTo(0.2, 9);
  const z = characteristic({ plotted: "z", unit: "1" });
  const [other] = givenFeatures(sheet({ characteristics: [z], points: [point(0, -1.5)] }));
  expect(other?.detail).toContain("−1.500 sigma off its part's target");
});

test("a trace is not drawn across readings that its instrument did not give", () => {
  const { panels, segments } = runPanels(sheet(), 1_020, 120);
  expect(panels[0]?.path.match(/M/g)).toHaveLength(2);
  expect(segments[0]).toMatchObject({ name: "cross steam a", from: 0 });
  expect(segments[0]?.to).toBeCloseTo(500, 6);
});

test("a reading without a neighbour is drawn as a dot, in this run and in those before", () => {
  const before = [{ run: "x", tMs: [0, 500, 1_000], value: [1, 1, 1] }];
  const alone = trace({ tMs: [1_000], value: [14.2], before });
  const { panels } = runPanels(sheet({ traces: [trace({}), alone] }), 1_020, 120);
  expect(panels.map(({ lone }) => lone.match(/M/g)?.length)).toEqual([2, 1]);
  expect(panels[1]).toMatchObject({ loneBefore: "" });
  const { panels: swapped } = runPanels(
    sheet({ traces: [trace({ before: [{ run: "x", ...{ tMs: [5], value: [1] } }] })] }),
    600,
    120,
  );
  expect(swapped[0]?.loneBefore).toMatch(/^M[\d.]+,[\d.]+Z$/);
});

test("steps that the segments show already get no panel of their own; a door in mid-run does", () => {
  const step = trace({ series: "s", role: "step", kind: "event", tMs: [0, 30_000], value: [3, 0] });
  const door = trace({ series: "d", role: "door", kind: "event", tMs: [12_000, 15_000], value: [1, 0] });
  const { panels } = runPanels(sheet({ traces: [step, door] }), 600, 120);
  expect(panels.map((panel) => [panel.series, panel.stepped])).toEqual([["d", true]]);
});

test("the runs before are drawn no further than this run went", () => {
  const before = [{ run: "x", tMs: [0, 30_000, 90_000], value: [0, 1, 50] }];
  const { panels } = runPanels(sheet({ traces: [trace({ before })] }), 600, 120);
  expect(panels[0]?.before[0]?.split(/[ML]/).filter((part) => part !== "")).toHaveLength(2);
  expect(Math.max(...(panels[0]?.ticks.map((tick) => Number(tick.text)) ?? []))).toBeLessThan(2);
});

test("a trace without a reading is a line of words, not an empty scale", () => {
  const { panels } = runPanels(
    sheet({ traces: [trace({ value: [null, null, null] }), trace({ tMs: [], value: [] })] }),
    600,
    120,
  );
  expect(panels.map(({ note, ticks, path }) => [note, ticks, path])).toEqual([
    ["no reading in this shot", [], ""],
    ["no reading in this shot", [], ""],
  ]);
});

test("a snapshot spans its own length in milliseconds", () => {
  const value = Array.from({ length: 2_048 }, (_, at) => Math.sin(at / 7));
  const snapshots = [{ series: "CT-A1/vibration-z", at: iso(noonMs), rateHz: 2_048, unit: "[g]", value }];
  const [panel] = snapshotPanels(sheet({ snapshots }), 600);
  expect(panel?.name).toBe("Raw vibration z, 2048 readings a second");
  expect(panel?.panels.ticks.at(-1)).toEqual({ x: 600, text: "1000 ms" });
  expect(panel?.panel.unit).toBe("g");
});

test("counts have whole numbers on their scale, and a narrow window fewer times under it", () => {
  const counts = trace({ quantity: "count", unit: "1", reference: null, tMs: [59_000], value: [40], everyMs: null });
  const wide = runPanels(sheet({ traces: [counts] }), 800, 112);
  expect(wide.panels[0]!.ticks.map(({ text }) => text)).toEqual(["40"]);
  expect(wide.ticks.length).toBeGreaterThan(5);
  const narrow = runPanels(sheet({ traces: [counts] }), 300, 112).ticks;
  expect(narrow.length).toBeGreaterThan(1);
  narrow.slice(1).forEach(({ x }, at) => {
    expect(x - narrow[at]!.x).toBeGreaterThanOrEqual(50);
  });
});

test("where many runs are under way at once, the events of others are no trace of this one", () => {
  const event = trace({ kind: "event", role: "flask", everyMs: null, tMs: [0, 20_000, 40_000], value: [1, 0, 1] });
  const one = sheet({ traces: [event] });
  expect(runPanels(one, 800, 112).panels).toHaveLength(1);
  const many = { ...one, run: { ...one.run, id: "CO-A~FA-7:20261125T120000000Z" } };
  expect(runPanels(many, 800, 112).panels).toEqual([]);
});

test("a value whose subgroup is not complete has no point yet, which is no lack of limits", () => {
  expect(givenFeatures(sheet({ points: [] }))[0]!.detail).toBe("no point of its chart yet");
});

test("limits of a mean judge that mean: it stands beside them, and on the ruler", () => {
  const { limits } = characteristic();
  const scheme = {
    runs: 1,
    sigma: 0.01,
    sigmaWithin: 0.01,
    ewma: { lambda: 0.2, width: 3, alike: true, share: 0.2, phi: 0 },
  };
  const weighted = characteristic({ limits: { ...limits!, scheme } });
  const [ewma] = givenFeatures(sheet({ characteristics: [weighted], points: [point(0, 0.9)] }));
  expect(ewma).toMatchObject({ value: "0.850", detail: "weighted mean 0.900, limits 0.870 to 0.930" });
  expect(ewma!.place).toBeCloseTo(0.5, 9);
  const members = [0.85, 0.91].map((value, at) => ({ run: runAt(at), at: iso(noonMs), value }));
  const [averaged] = givenFeatures(sheet({ points: [{ ...point(0, 0.88), members }] }));
  expect(averaged!.detail).toBe("average of 2 0.880, limits 0.870 to 0.930");
});
