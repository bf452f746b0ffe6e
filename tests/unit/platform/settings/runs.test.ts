import { expect, test } from "vitest";
import { ofRole, seriesOfRole, spacingInRun } from "../../../../collector/pipeline/role-series.ts";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { siteText } from "./site-text.ts";

const old = siteText.slice(siteText.indexOf("    segmenter:"), siteText.indexOf("    characteristics:"));

function load(...changes: readonly (readonly [string, string])[]) {
  const text = changes.reduce((so, [from, to]) => {
    if (!so.includes(from)) throw new Error(`the site has no ${from}`);
    return so.replace(from, to);
  }, siteText);
  return loadSettings(Buffer.from(text));
}

function siteOf(...changes: readonly (readonly [string, string])[]) {
  const loaded = load(...changes);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site;
}

const cutBy = (segmenter: string) => [old, `    segmenter: ${segmenter}\n`] as const;
/** Features need their segments: what is charted is of no concern where only the cutting is. */
const uncharted = [siteText.slice(siteText.indexOf("    characteristics:")), ""] as const;

test("hours of the clock begin at each start of a shift, or at midnight where there are none", () => {
  const clock = cutBy("{ by: clock, every: 3 h }");
  const hoursOf = (site: ReturnType<typeof siteOf>) => {
    const { segmenter } = site.stations[0]!;
    return segmenter.by === "clock" ? segmenter.edges.map((ms) => ms / 3_600_000) : [];
  };
  expect(hoursOf(siteOf(clock, uncharted))).toEqual([0, 3, 6, 9, 12, 15, 18, 21]);
  const shifts = 'shifts: [{ name: late, from: "14:30" }, { name: early, from: "06:00" }]\nlateness';
  expect(hoursOf(siteOf(["lateness", shifts], clock, uncharted))).toEqual(
    [2.5, 5.5, 6, 9, 12, 14.5, 17.5, 20.5, 23.5].sort((a, b) => a - b),
  );
});

test("steps from levels, items and changes reach the segmenter in milliseconds", () => {
  const sequence =
    "{ by: sequence, role: pressure, steps: [{ name: autoclave, above: 0.6, from: 0.5, hold: 1 s }, { below: 0.4 }], ends: { below: 0.02, hold: 2 s }, timeout: 5 min }";
  expect(siteOf(cutBy(sequence), uncharted).stations[0]!.segmenter).toEqual({
    by: "sequence",
    role: "pressure",
    steps: [
      { name: "autoclave", above: 0.6, from: 0.5, holdMs: 1000 },
      { name: null, below: 0.4, holdMs: 0 },
    ],
    ends: { below: 0.02, holdMs: 2000 },
    timeoutMs: 300_000,
  });
  expect(
    siteOf(cutBy("{ by: items, role: step, key: flask, timeout: 3 h }"), uncharted).stations[0]!.segmenter,
  ).toEqual({
    ...{ by: "items", role: "step", key: "flask", opensAt: 1, closesAt: 0, most: 500, timeoutMs: 10_800_000 },
  });
  expect(
    siteOf(cutBy("{ by: change, role: step, key: lot, idle: 2 h, timeout: 30 d, gap: 1 d }"), uncharted).stations[0]!
      .segmenter,
  ).toEqual({
    ...{ by: "change", role: "step", key: "lot", idleMs: 7_200_000, timeoutMs: 2_592_000_000, gapMs: 86_400_000 },
  });
});

const campaign = `    moreRuns:
      - id: campaign
        runWord: campaign
        segmenter: { by: change, role: step, key: part, timeout: 5 d }
        characteristics:
          - { feature: mold.rise, name: rise, quantity: steam-pressure, digits: 2, every: 1 d }
    characteristics:`;
const withCampaign = ["    characteristics:", campaign] as const;
const feature = "          - { feature: mold.rise, name: rise, quantity: steam-pressure, digits: 2, every: 1 d }\n";

test("a further kind of run has its own word, and its charts beside those of the first", () => {
  const segments = "segmentsBy: position\n        characteristics";
  const station = siteOf(
    withCampaign,
    ["characteristics:\n          - { f", `${segments}:\n          - { f`],
    [feature, "          []\n"],
  ).stations[0]!;
  expect(station.moreRuns).toMatchObject([{ id: "campaign", runWord: "campaign", segmentsBy: "position" }]);
  expect(station.plans.map(({ runKind, runWord }) => `${runKind} ${runWord}`)).toEqual(["null shot"]);
});

const main = "        main: true";
const target = "        parts: { A: { target: 0.9 }, B: { target: 0.8, sigma: 0.01 } }";

test("charts by part and tool, and of deviations, reach their characteristics", () => {
  const byBoth = siteOf([
    main,
    `${main}\n        by: [part, tool]\n        parts: { A: { specification: { upper: 1, unit: bar, origin: x } } }`,
  ]);
  const plan = byBoth.stations[0]!.plans[0]!;
  expect(plan.parts).toEqual([]);
  expect(plan.characteristic("A T-4")).toMatchObject({
    part: "A T-4",
    by: ["part", "tool"],
    specification: { upper: 1 },
  });
  expect(plan.characteristic("B T-4").specification).toMatchObject({ lower: 0.82 });
  const deviation = siteOf([main, `${main}\n        as: deviation\n${target}`]).stations[0]!.plans[0]!.characteristic(
    null,
  );
  expect(deviation).toMatchObject({
    unit: "bar",
    reference: "difference",
    plotted: { as: "deviation", parts: { A: { target: 0.9 } } },
  });
});

test("what is borrowed is another station's series under a role of one's own", () => {
  const site = siteOf(
    ["    segmenter:", "    borrows: [other]\n    segmenter:"],
    [
      "source: GW-PR }",
      "source: GW-PR, borrows: { other: PR-02/pressure } }\n  - { id: PR-02, kind: press, line: one, source: GW-PR, borrows: { other: PR-01/pressure } }",
    ],
  );
  expect(site.stations[0]!.borrowed).toMatchObject({
    other: { by: null, from: { "": { id: "PR-02/pressure", unit: "bar", station: "PR-02" } } },
  });
  expect(Object.keys(site.stations[0]!.series)).toEqual(["pressure", "step"]);
});

const asksFor = ["    segmenter:", "    borrows: [other]\n    segmenter:"] as const;
const lentByTank = (from: string) =>
  [
    "source: GW-PR }",
    `source: GW-PR, borrows: { other: { by: tank, from: ${from} } } }\n  - { id: PR-02, kind: press, line: one, source: GW-PR, borrows: { other: PR-01/pressure } }\n  - { id: PR-03, kind: press, line: one, source: GW-PR, borrows: { other: PR-01/step } }`,
  ] as const;

test("where it depends on the run, a word of its context names the lender", () => {
  const site = siteOf(asksFor, lentByTank("{ A: PR-02/pressure, B: PR-03/step }"));
  const [borrower] = site.stations;
  const lent = (context: Record<string, string>) => seriesOfRole(borrower!, "other", context)?.id;
  expect([lent({ tank: "A" }), lent({ tank: "B" })]).toEqual(["PR-02/pressure", "PR-03/step"]);
  // Of no lender, and of one that nobody lends from: nothing is read, rather than another one's.
  expect([lent({}), lent({ tank: "C" }), lent({ tank: "constructor" })]).toEqual([undefined, undefined, undefined]);
  expect(ofRole(borrower!, "other", { tank: "C" }).series).toBe("PR-01/other");
  expect(spacingInRun(borrower!, "other", { tank: "A" })).toBe(50);
  expect(spacingInRun(borrower!, "other", { tank: "B" })).toBeNull();
  expect(seriesOfRole(site.stations[1]!, "other", { tank: "B" })?.id).toBe("PR-01/pressure");
});

test.each<[string, readonly (readonly [string, string])[], string, string]>([
  ["an hour longer than a day", [cutBy("{ by: clock, every: 25 h }"), uncharted], "segmenter.every", "at most 1 d"],
  [
    "items by a reading",
    [cutBy("{ by: items, role: pressure, key: flask, timeout: 1 h }"), uncharted],
    "segmenter.role",
    "an event series",
  ],
  [
    "items that come and go alike",
    [cutBy("{ by: items, role: step, key: f, closesAt: 1, timeout: 1 h }"), uncharted],
    "segmenter.closesAt",
    "another state",
  ],
  [
    "steps by an event",
    [cutBy("{ by: sequence, role: step, steps: [{ above: 1 }], ends: { below: 1 }, timeout: 1 h }"), uncharted],
    "segmenter.role",
    "a reading series",
  ],
  [
    "a step without a level",
    [cutBy("{ by: sequence, role: pressure, steps: [{ name: a }], ends: { below: 1 }, timeout: 1 h }"), uncharted],
    "segmenter.steps[0]",
    "one of them",
  ],
  [
    "a step that begins beyond its level",
    [
      cutBy("{ by: sequence, role: pressure, steps: [{ above: 1, from: 2 }], ends: { below: 1 }, timeout: 1 h }"),
      uncharted,
    ],
    "segmenter.steps[0].from",
    "at most above, 1",
  ],
  [
    "an end that begins beyond its level",
    [
      cutBy("{ by: sequence, role: pressure, steps: [{ above: 1 }], ends: { below: 1, from: 0 }, timeout: 1 h }"),
      uncharted,
    ],
    "segmenter.ends.from",
    "at least below, 1",
  ],
  [
    "two steps of one name",
    [
      cutBy(
        "{ by: sequence, role: pressure, steps: [{ name: a, above: 1 }, { name: a, above: 2 }], ends: { below: 1 }, timeout: 1 h }",
      ),
      uncharted,
    ],
    "segmenter.steps[1].name",
    "no other step",
  ],
  [
    "a segment that the steps do not name",
    [cutBy("{ by: sequence, role: pressure, steps: [{ name: a, above: 1 }], ends: { below: 1 }, timeout: 1 h }")],
    "characteristics[0].feature",
    "a state of that name",
  ],
  [
    "a feature that another kind of run has",
    [withCampaign, ["feature: mold.rise", "feature: mold.plateau"]],
    "moreRuns[0].characteristics[0].feature",
    "each feature once",
  ],
  [
    "a feature whose segment the further kind has not",
    [withCampaign],
    "moreRuns[0].characteristics[0].feature",
    "a state of that name",
  ],
  [
    "a strip of a further kind",
    [withCampaign, ["every: 1 d }", "every: 1 d, main: true }"]],
    "moreRuns[0].characteristics[0].main",
    "of the first kind",
  ],
  [
    "charts by part twice over",
    [[main, `${main}\n        byPart: true\n        by: [part]`]],
    "characteristics[0].by",
    "byPart says",
  ],
  ["a word twice", [[main, `${main}\n        by: [tool, tool]`]], "characteristics[0].by[1]", "each word once"],
  [
    "deviations from nothing",
    [[main, `${main}\n        as: deviation`]],
    "characteristics[0].as",
    "each with its target",
  ],
  [
    "a deviation without a target",
    [[main, `${main}\n        as: deviation\n        parts: { A: {} }`]],
    "characteristics[0].parts.A",
    "target",
  ],
  ["a Z without a sigma", [[main, `${main}\n        as: z\n${target}`]], "characteristics[0].parts.A", "sigma"],
  [
    "a Z in bar",
    [[main, `${main}\n        as: z\n        parts: { A: { target: 1, sigma: 1 } }`]],
    "characteristics[0].specification.unit",
    "1, the unit",
  ],
  [
    "a specification of one part's deviation",
    [
      [
        main,
        `${main}\n        as: deviation\n        parts: { A: { target: 1, specification: { upper: 1, unit: bar, origin: x } } }`,
      ],
    ],
    "characteristics[0].parts.A.specification",
    "for all of them",
  ],
  [
    "a target of a plain value",
    [[main, `${main}\n        byPart: true\n${target}`]],
    "characteristics[0].parts.A.target",
    "or as: deviation",
  ],
  [
    "a borrowed series that nobody names",
    [["    segmenter:", "    borrows: [other]\n    segmenter:"]],
    "borrows",
    "STATION/role",
  ],
  [
    "a series borrowed of oneself",
    [
      ["    segmenter:", "    borrows: [other]\n    segmenter:"],
      ["source: GW-PR }", "source: GW-PR, borrows: { other: PR-01/pressure } }"],
    ],
    "borrows.other",
    "of another station",
  ],
  [
    "a lender by a word that is oneself",
    [asksFor, lentByTank("{ A: PR-02/pressure, B: PR-01/pressure }")],
    "borrows.other.from.B",
    "of another station",
  ],
  ["lenders by a word, and none", [asksFor, lentByTank("{}")], "borrows.other.from", "a lender by each word"],
  [
    "a series lent and not asked for",
    [["source: GW-PR }", "source: GW-PR, borrows: { other: PR-01/pressure } }"]],
    "borrows.other",
    "none",
  ],
])("%s is a mistake with its place", (_, changes, path, expected) => {
  const loaded = load(...changes);
  const mistakes = loaded.ok ? [] : loaded.mistakes;
  expect(
    mistakes
      .filter((one) => one.path.endsWith(path))
      .map((one) => one.expected)
      .join(),
  ).toContain(expected);
});
