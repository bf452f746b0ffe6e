import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { type Mistake, mistakeLine } from "../../../../collector/platform/settings/mistake.ts";
import type { Site } from "../../../../collector/platform/settings/site.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { siteText } from "./site-text.ts";

function siteOf(text: string): Site {
  const loaded = loadSettings(Buffer.from(text));
  if (!loaded.ok) throw new Error(loaded.mistakes.map((one) => mistakeLine("settings", one)).join("\n"));
  return loaded.site;
}

function mistakesOf(text: string | Uint8Array): readonly Mistake[] {
  const loaded = loadSettings(typeof text === "string" ? Buffer.from(text) : text);
  return loaded.ok ? [] : loaded.mistakes;
}

/** The small site with one piece of text replaced. */
function changed(from: string, to: string): string {
  if (!siteText.includes(from)) throw new Error(`the small site has no ${from}`);
  return siteText.replace(from, to);
}

test("the demo's settings have no mistakes and describe the plant's stations, at least one of each stage", () => {
  const site = siteOf(readFileSync("simulator/ostrimvale.yaml", "utf8"));
  expect(site.stations).toHaveLength(47);
  expect(new Set(site.stations.map((station) => station.stage))).toEqual(new Set(site.stages));
  const quantities = site.stations.flatMap((station) =>
    station.plans.map((plan) => plan.characteristic(null).quantity),
  );
  expect(new Set(quantities).size).toBeGreaterThanOrEqual(5);
});

test("in the demo first metal low and dryer not dry are act-now; plateau, RMS and oven maximum are look", () => {
  const site = siteOf(readFileSync("simulator/ostrimvale.yaml", "utf8"));
  const labels = (label: string): readonly string[] => [
    ...new Set(
      site.stations.flatMap((station) =>
        station.plans
          .map((plan) => plan.characteristic(null))
          .filter((one) => one.policies.some((policy) => policy.label === label))
          .map((one) => one.feature),
      ),
    ),
  ];
  // Wet clusters and cold metal, whatever tells of them, and nothing else.
  expect(labels("act-now")).toEqual(["dry.dw_end", "dry.water_ratio", "dry.residual", "pour.T1", "ladle.first"]);
  expect(labels("look")).toEqual(expect.arrayContaining(["mold.plateau", "oven.max", "vib.rms"]));
});

test("settings become a site with durations in milliseconds and a characteristic with its unit and specification", () => {
  const site = siteOf(siteText);
  expect(site.latenessMs).toBe(5000);
  const station = site.stations[0]!;
  expect(station.series["pressure"]).toMatchObject({ id: "PR-01/pressure", everyMs: 1000, everyInRunMs: 50 });
  const one = station.plans[0]!.characteristic(null);
  expect(one).toMatchObject({ id: "PR-01:mold.plateau", unit: "bar", everyMs: 360_000, main: true });
  expect(one.specification).toMatchObject({ lower: 0.82, upper: 0.98, unit: "bar" });
});

test("charts of subgroups and of weighted means, with all eight rules, reach their characteristics", () => {
  const with_ = (lines: string) => {
    const loaded = loadSettings(Buffer.from(siteText.replace("        main: true", `        main: true\n${lines}`)));
    if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
    return loaded.site.stations[0]!.plans[0]!.characteristic(null);
  };
  const grouped = with_("        chart: averages-with-s\n        subgroup: { runs: 4 }");
  expect(grouped).toMatchObject({
    chart: "averages-with-s",
    subgroup: { runs: 4, anewWith: ["part", "tool"] },
    everyMs: 360_000,
  });
  expect(grouped.rules).toEqual(["beyond-limit", "nine-on-one-side"]);
  const ewma = with_("        chart: ewma\n        ewma: { lambda: 0.1 }");
  expect(ewma).toMatchObject({ chart: "ewma", ewma: { lambda: 0.1, width: 2.86 }, rules: ["beyond-limit"] });
  expect(with_(`        rules: [${ruleIds.join(", ")}]`).rules).toEqual(ruleIds);
});

test("a part of any name gives a characteristic whose id is plain, and two names never one", () => {
  const plan = siteOf(changed("        main: true", "        main: true\n        byPart: true")).stations[0]!.plans[0]!;
  const ids = ["OFW-1", "OFW/1", "OFW 1", "OFW~2f~1", "é"].map((part) => plan.characteristic(part).id);
  expect(new Set(ids).size).toBe(ids.length);
  for (const id of ids) expect(id).toMatch(/^[A-Za-z0-9:._~-]+$/);
  expect(plan.characteristic("constructor").specification).toMatchObject({ lower: 0.82 });
});

test.each<[string, string, string, Partial<Mistake>]>([
  [
    "a kind that is not declared",
    "kind: press,",
    "kind: prss,",
    { path: "stations[0].kind", found: "prss", expected: "press" },
  ],
  [
    "a line that is not declared",
    "line: one,",
    "line: two,",
    { path: "stations[0].line", found: "two", expected: "one" },
  ],
  [
    "a source that is not declared",
    "source: GW-PR }",
    "source: GW }",
    { path: "stations[0].source", expected: "GW-PR" },
  ],
  [
    "a stage that is not declared",
    "    stage: Moulding",
    "    stage: Drying",
    { path: "stationKinds.press.stage", expected: "Moulding" },
  ],
  [
    "a zone that is none",
    "zone: CET",
    "zone: Mars/Base",
    { line: 3, column: 9, path: "site.zone", found: "Mars/Base" },
  ],
  ["an offset instead of a zone", "zone: CET", 'zone: "+01:00"', { path: "site.zone", found: '"+01:00"' }],
  [
    "a duration without a unit",
    "timeout: 5 min",
    "timeout: 5",
    { path: "stationKinds.press.segmenter.timeout", found: "5", expected: "text" },
  ],
  [
    "a duration of nothing",
    "every: 6 min",
    "every: 0 min",
    { path: "stationKinds.press.characteristics[0].every", found: "0 min" },
  ],
  [
    "a number in words",
    "ambientPressureHpa: 1000",
    "ambientPressureHpa: thousand",
    { line: 4, found: "thousand", expected: "a number" },
  ],
  [
    "a pressure out of range",
    "ambientPressureHpa: 1000",
    "ambientPressureHpa: 1",
    { expected: "a number of at least 500" },
  ],
  ["a missing key", "  name: Small works\n", "", { path: "site.name", found: "nothing", expected: "text" }],
  ["an empty value", "name: Small works", "name:", { path: "site.name", found: "nothing", expected: "text" }],
  [
    "a key that does not exist",
    "lateness:",
    "latness:",
    { line: 6, column: 1, path: "latness", found: "the key latness" },
  ],
  [
    "a key that does not exist, deep down",
    "digits: 3",
    "digit: 3",
    { path: "stationKinds.press.characteristics[0].digit" },
  ],
  [
    "an unknown way of cutting",
    "by: state-signal",
    "by: guess",
    {
      path: "stationKinds.press.segmenter.by",
      expected: "one of state-signal, threshold, marker, clock, change, items, sequence",
    },
  ],
  [
    "a segmenter whose role is no event",
    "role: step",
    "role: pressure",
    { path: "stationKinds.press.segmenter.role", expected: "the role of an event series here: step" },
  ],
  [
    "an opening state without a name",
    "opensAt: 1",
    "opensAt: 4",
    { path: "stationKinds.press.segmenter.opensAt", expected: "one of 1, 5, 6" },
  ],
  [
    "a closing state that is the opening one",
    "closesAt: 0",
    "closesAt: 1",
    { path: "stationKinds.press.segmenter.closesAt" },
  ],
  [
    "a closing state that is part of the run",
    "closesAt: 0",
    "closesAt: 6",
    { path: "stationKinds.press.segmenter.closesAt" },
  ],
  ["two states of one name", "6: vent", "6: fill", { path: "stationKinds.press.segmenter.states.6" }],
  [
    "a feature that does not exist",
    "feature: mold.plateau",
    "feature: mold.plato",
    { path: "stationKinds.press.characteristics[0].feature", found: "mold.plato" },
  ],
  [
    "a feature whose series are not there",
    "feature: mold.plateau",
    "feature: oven.mean",
    { found: "oven.mean, which reads t1, t2, t3" },
  ],
  [
    "a feature whose segment is not there",
    "5: autoclave",
    "5: steam",
    {
      path: "stationKinds.press.characteristics[0].feature",
      found: "mold.plateau, but the run has no segment autoclave",
    },
  ],
  [
    "a number that the feature does not know",
    "        main: true",
    "        main: true\n        settings: { threshold: 1 }",
    { path: "stationKinds.press.characteristics[0].settings" },
  ],
  [
    "a unit that is none",
    "unit: bar, every",
    "unit: bars, every",
    { path: "stationKinds.press.series.pressure.unit", found: "bars" },
  ],
  [
    "a unit of another quantity",
    "unit: bar, every",
    "unit: Cel, every",
    { path: "stationKinds.press.series.pressure.unit", found: "Cel" },
  ],
  [
    "a pressure without gauge or absolute",
    "quantity: steam-pressure, reference: gauge,",
    "quantity: steam-pressure,",
    { path: "stationKinds.press.series.pressure.reference", found: "nothing" },
  ],
  [
    "a series without any spacing",
    ", every: 1 s, everyInRun: 50 ms",
    "",
    { path: "stationKinds.press.series.pressure", found: "neither every nor everyInRun" },
  ],
  [
    "a specification in another unit",
    "unit: bar, origin",
    "unit: kPa, origin",
    { found: "kPa", expected: "bar, the unit of mold.plateau" },
  ],
  ["a specification upside down", "lower: 0.82", "lower: 1.2", { expected: "a lower limit below the upper one" }],
  ["no main characteristic", "        main: true\n", "", { found: "no characteristic with main: true" }],
  [
    "a label that calls without a first step",
    ", doFirst: Sensor right?",
    "",
    { path: "stationKinds.press.characteristics[0].signals[0].doFirst", found: "nothing" },
  ],
  [
    "a run rule that calls",
    "rule: beyond-limit",
    "rule: nine-on-one-side",
    { path: "stationKinds.press.characteristics[0].signals[0].label", found: "look" },
  ],
  [
    "averages without subgroups",
    "        main: true",
    "        main: true\n        chart: averages-with-s",
    { path: "stationKinds.press.characteristics[0].chart", found: "averages-with-s without subgroups" },
  ],
  [
    "subgroups of single runs",
    "        main: true",
    "        main: true\n        subgroup: { runs: 4 }",
    { path: "stationKinds.press.characteristics[0].subgroup" },
  ],
  [
    "a subgroup of one",
    "        main: true",
    "        main: true\n        chart: averages-with-s\n        subgroup: { runs: 1 }",
    { path: "stationKinds.press.characteristics[0].subgroup.runs", found: "1", expected: "a number of at least 2" },
  ],
  [
    "a weight of an EWMA where there is none",
    "        main: true",
    "        main: true\n        ewma: { lambda: 0.1 }",
    { path: "stationKinds.press.characteristics[0].ewma" },
  ],
  [
    "a run rule on an EWMA",
    "        main: true",
    "        main: true\n        chart: ewma\n        rules: [beyond-limit, nine-on-one-side]",
    {
      path: "stationKinds.press.characteristics[0].rules[1]",
      found: "nine-on-one-side",
      expected: "beyond-limit: no other goes with ewma",
    },
  ],
  [
    "a rule twice",
    "        main: true",
    "        main: true\n        rules: [beyond-limit, beyond-limit]",
    { path: "stationKinds.press.characteristics[0].rules[1]", expected: "each rule once" },
  ],
  [
    "another run rule that calls",
    "rule: beyond-limit",
    "rule: six-in-one-direction",
    { path: "stationKinds.press.characteristics[0].signals[0].label", found: "look" },
  ],
  [
    "a first step too long to read",
    "doFirst: Sensor right?",
    `doFirst: ${"x".repeat(81)}`,
    { expected: "at most 80 characters" },
  ],
  [
    "parts where charts are not by part",
    "        main: true",
    "        main: true\n        parts: { OFW-1: {} }",
    { path: "stationKinds.press.characteristics[0].byPart" },
  ],
  ["a topic filter that is none", '"small/GW-PR/#"', '"small/#/GW-PR"', { path: "sources[0].topic" }],
  [
    "the same key twice",
    "  zone: CET",
    "  zone: CET\n  zone: UTC",
    { line: 4, found: expect.stringContaining("the same key twice") as unknown as string },
  ],
  [
    "a tab as indentation",
    "  zone: CET",
    "\tzone: CET",
    { line: 3, found: expect.stringContaining("a tab as indentation") as unknown as string },
  ],
  [
    "an anchor that is not there",
    "zone: CET",
    "zone: *nowhere",
    { line: 3, found: expect.stringContaining("the alias *nowhere without its anchor") as unknown as string },
  ],
])("%s is told with line, what was found and what was expected", (_what, from, to, expected) => {
  const mistakes = mistakesOf(changed(from, to));
  expect(mistakes).toContainEqual(expect.objectContaining(expected));
  for (const mistake of mistakes) {
    expect(mistake.line).toBeGreaterThan(0);
    expect(mistake.column).toBeGreaterThan(0);
    expect(mistake.expected).not.toBe("");
  }
});

test("one mistake gives one message", () => {
  expect(mistakesOf(changed("kind: press,", "kind: prss,"))).toHaveLength(1);
  expect(mistakesOf(changed("digits: 3", "digits: many"))).toHaveLength(1);
  expect(mistakesOf(changed("unit: bar, origin", "unit: kPa, origin"))).toHaveLength(1);
});

test("all mistakes come at once, in the order of the file, those between parts beside those of the schema", () => {
  const text = siteText
    .replace("zone: CET", "zone: Nowhere")
    .replace("ambientPressureHpa: 1000", "ambientPressureHpa: low")
    .replace("kind: press,", "kind: pres,")
    .replace("feature: mold.plateau", "feature: mold.plato")
    .replace("digits: 3", "digits: 9");
  const paths = mistakesOf(text).map((mistake) => mistake.path);
  expect(paths).toEqual([
    "site.zone",
    "site.ambientPressureHpa",
    "stations[0].kind",
    "stationKinds.press.characteristics[0].digits",
  ]);
});

test("a key that is given through an anchor and a merge is found, and its mistakes stand where it was written", () => {
  const anchored = changed("site:\n", "x: 1\nsite:\n");
  expect(mistakesOf(anchored)[0]).toMatchObject({ line: 1, path: "x" });
  const merged = changed(
    "  - { id: PR-01, kind: press, line: one, source: GW-PR }",
    "  - &press { id: PR-01, kind: press, line: one, source: GW-X }\n  - { <<: *press, id: PR-02 }",
  );
  const mistakes = mistakesOf(merged).filter((mistake) => mistake.path.endsWith(".source"));
  expect(mistakes.map(({ line, found }) => ({ line, found }))).toEqual([
    { line: 13, found: "GW-X" },
    { line: 13, found: "GW-X" },
  ]);
});

test("aliases that would grow without end are refused", () => {
  const bomb = `a: &a [x,x,x,x,x,x,x,x,x,x]\nb: &b [${"*a,".repeat(10)}]\nc: &c [${"*b,".repeat(10)}]\nd: [${"*c,".repeat(10)}]\n`;
  expect(mistakesOf(bomb)).toEqual([expect.objectContaining({ found: "aliases (*name) beyond reason" })]);
});

test("an empty file, a file of comments and a file of bytes are told plainly", () => {
  expect(mistakesOf("")).toEqual([expect.objectContaining({ line: 1, found: "an empty file" })]);
  expect(mistakesOf("# nothing\n")).toEqual([expect.objectContaining({ found: "an empty file" })]);
  const bytes = Buffer.concat([Buffer.from("site:\n  name: "), Buffer.from([0xff, 0xfe]), Buffer.from("\n")]);
  expect(mistakesOf(bytes)).toEqual([expect.objectContaining({ line: 2, found: "bytes that are not UTF-8" })]);
  expect(mistakesOf("just words")).toEqual([expect.objectContaining({ line: 1, expected: "a group of keys" })]);
  expect(mistakesOf("a: 1\n---\nb: 2\n").length).toBeGreaterThan(0);
});

test("a mistake is written as compilers write theirs", () => {
  const [mistake] = mistakesOf(changed("kind: press,", "kind: prss,"));
  expect(mistakeLine("site.yaml", mistake!)).toBe("site.yaml:13:24: stations[0].kind: found prss, expected press");
});
