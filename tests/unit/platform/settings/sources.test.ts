import { expect, test } from "vitest";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { type Mistake, mistakeLine } from "../../../../collector/platform/settings/mistake.ts";
import { documentedSources, settingsWith, siteOf } from "../../decode/formats.ts";
import { siteText } from "./site-text.ts";

/** The small site with its source written otherwise, from line 11 on. */
function mistakesWith(source: string): readonly Mistake[] {
  const text = siteText.replace('  - { id: GW-PR, topic: "small/GW-PR/#" }', source);
  const loaded = loadSettings(Buffer.from(text));
  return loaded.ok ? [] : loaded.mistakes;
}

test("a source that says no format sends our own JSON", () => {
  const loaded = loadSettings(Buffer.from(siteText));
  expect(loaded.ok && loaded.site.sources).toEqual([{ id: "GW-PR", topic: "small/GW-PR/#", format: "json-v1" }]);
});

test("the sources that are documented have no mistakes, one of each format", () => {
  const loaded = loadSettings(Buffer.from(settingsWith(documentedSources)));
  expect(loaded.ok ? [] : loaded.mistakes).toEqual([]);
  const formats = new Set(siteOf().sources.map(({ format }) => format));
  expect([...formats]).toEqual(["senml", "sparkplug-b", "opcua-json", "mapped-json", "json-v1"]);
});

const press = "series: PR-01/pressure";
test.each<[what: string, source: string, line: number, column: number, rest: string]>([
  [
    "a format that does not exist",
    "  - { id: GW-PR, topic: a, format: xml }",
    11,
    36,
    "sources[0].format: found xml, expected one of json-v1, senml, sparkplug-b, opcua-json, mapped-json",
  ],
  [
    "a key of another format",
    "  - { id: GW-PR, topic: a, map: [] }",
    11,
    28,
    "sources[0].map: found the key map, expected only id, topic, quietAtMost, format",
  ],
  [
    "a key that no row of the format has",
    "  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, field: q, series: PR-01/pressure }] }",
    11,
    60,
    "sources[0].map[0].field: found the key field, expected only name, series, unit",
  ],
  [
    "a key that the format has not",
    "  - { id: GW-PR, topic: a, format: opcua-json, list: /a, map: [{ field: p, series: PR-01/step }] }",
    11,
    48,
    "sources[0].list: found the key list, expected only id, topic, quietAtMost, format, map, others",
  ],
  [
    "a mapping of nothing",
    "  - { id: GW-PR, topic: a, format: senml, map: [] }",
    11,
    48,
    "sources[0].map: found a list",
  ],
  [
    "a series that is none",
    "  - id: GW-PR\n    topic: a\n    format: senml\n    map:\n      - { name: p, series: PR-01 }",
    15,
    28,
    "sources[0].map[0].series: found PR-01, expected a series: station and role, such as PR-01/pressure",
  ],
  [
    "a series that no station has",
    "  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, series: PR-01/presure }] }",
    11,
    68,
    "sources[0].map[0].series: found PR-01/presure, expected one of PR-01/pressure, PR-01/step",
  ],
  [
    "a station that does not exist",
    "  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, series: PR-02/pressure }] }",
    11,
    68,
    "sources[0].map[0].series: found PR-02/pressure, expected one of PR-01/pressure, PR-01/step",
  ],
  [
    "a station of another source",
    `  - { id: GW-PR, topic: b }\n  - { id: GW-X, topic: a, format: senml, map: [{ name: p, ${press} }] }`,
    12,
    67,
    "sources[1].map[0].series: found PR-01/pressure, expected a series of the source GW-X: the station PR-01 belongs to GW-PR",
  ],
  [
    "a series twice",
    `  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, ${press} }, { name: q, ${press} }] }`,
    11,
    105,
    "sources[0].map[1].series: found PR-01/pressure, expected each series once in a mapping",
  ],
  [
    "a name twice",
    `  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, ${press} }, { name: p, series: PR-01/step }] }`,
    11,
    86,
    "sources[0].map[1]: found a name that stands in a row before, expected each name once in a mapping",
  ],
  [
    "a name that SenML cannot write",
    `  - { id: GW-PR, topic: a, format: senml, map: [{ name: "a b", ${press} }] }`,
    11,
    57,
    'sources[0].map[0].name: found "a b", expected a SenML name',
  ],
  [
    "a unit that does not convert",
    `  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, ${press}, unit: Cel }] }`,
    11,
    90,
    "sources[0].map[0].unit: found Cel, expected a UCUM code that converts to bar, the unit of PR-01/pressure",
  ],
  [
    "an event with a unit",
    "  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, series: PR-01/step, unit: s }] }",
    11,
    86,
    'sources[0].map[0].unit: found s, expected "1"',
  ],
  [
    "a unit that is not said where none is sent",
    `  - { id: GW-PR, topic: a, format: opcua-json, map: [{ field: p, ${press} }] }`,
    11,
    54,
    "sources[0].map[0].unit: found nothing, expected unit: messages of this format carry no unit, and none is guessed",
  ],
  [
    "two units for one value",
    `  - { id: GW-PR, topic: a, format: mapped-json, time: { at: /t, as: iso }, map: [{ value: /v, ${press}, unit: bar, unitAt: /u }] }`,
    11,
    138,
    "sources[0].map[0].unitAt: found /u, expected either unit or unitAt, not both",
  ],
  [
    "a pointer that is none",
    `  - { id: GW-PR, topic: a, format: mapped-json, time: { at: t, as: iso }, map: [{ value: /v~2, ${press}, unit: bar }] }`,
    11,
    61,
    "sources[0].time.at: found t, expected a JSON pointer (RFC 6901) such as /values/0/p, with ~1 for / and ~0 for ~",
  ],
  [
    "a time of no known form",
    `  - { id: GW-PR, topic: a, format: mapped-json, time: { at: /t, as: min }, map: [{ value: /v, ${press}, unit: bar }] }`,
    11,
    69,
    "sources[0].time.as: found min, expected one of iso, local, seconds, milliseconds, microseconds, nanoseconds",
  ],
  [
    "no time at all",
    `  - { id: GW-PR, topic: a, format: mapped-json, map: [{ value: /v, ${press}, unit: bar }] }`,
    11,
    5,
    "sources[0].time: found nothing, expected a group of keys",
  ],
  [
    "a scale of nought",
    `  - { id: GW-PR, topic: a, format: mapped-json, time: { at: /t, as: iso }, map: [{ value: /v, ${press}, unit: bar, scale: 0 }] }`,
    11,
    137,
    "sources[0].map[0].scale: found 0, expected a number other than 0",
  ],
  [
    "a Sparkplug topic that leaves out births",
    `  - { id: GW-PR, topic: spBv1.0/g/DDATA/e/+, format: sparkplug-b, map: [{ metric: p, ${press}, unit: bar }] }`,
    11,
    25,
    "sources[0].topic: found spBv1.0/g/DDATA/e/+, expected spBv1.0/GROUP/#",
  ],
  [
    "an edge node that nothing names",
    `  - { id: GW-PR, topic: spBv1.0/g/#, format: sparkplug-b, map: [{ metric: p, ${press}, unit: bar }] }`,
    11,
    65,
    "sources[0].map[0].edge: found nothing, expected the edge node: the topic names none",
  ],
  [
    "an edge node other than the topic's",
    `  - { id: GW-PR, topic: spBv1.0/g/+/e/#, format: sparkplug-b, map: [{ edge: f, metric: p, ${press}, unit: bar }] }`,
    11,
    77,
    "sources[0].map[0].edge: found f, expected e, the edge node of the topic",
  ],
  [
    "topics that two sources share",
    `  - { id: GW-X, topic: plant/#, format: json-v1 }\n  - { id: GW-PR, topic: plant/+/x, format: senml, map: [{ name: p, ${press} }] }`,
    12,
    25,
    "sources[1].topic: found plant/+/x, expected topics that the source GW-X has not",
  ],
])("%s is told with its line and column", (_what, source, line, column, rest) => {
  const told = mistakesWith(source).map((one) => mistakeLine("s", one));
  expect(told).toContainEqual(expect.stringContaining(`s:${line}:${column}: ${rest}`));
});

test("a waveform comes in no foreign format", () => {
  const loaded = loadSettings(
    Buffer.from(
      settingsWith(`sources:
  - { id: GW-CT, topic: ct, format: senml, map: [{ name: x, series: CT-A1/vibration-x }] }
`),
    ),
  );
  expect(!loaded.ok && loaded.mistakes[0]).toMatchObject({ found: "CT-A1/vibration-x, a waveform", column: 69 });
});

test("one mistake gives one message, and a station that is wrong itself is told of once", () => {
  const good = `  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, ${press} }] }`;
  expect(mistakesWith(good)).toEqual([]);
  expect(mistakesWith(good.replace("name: p", "name: p, u: bar"))).toHaveLength(1);
  const text = siteText
    .replace('  - { id: GW-PR, topic: "small/GW-PR/#" }', good)
    .replace("kind: press,", "kind: prss,");
  const loaded = loadSettings(Buffer.from(text));
  expect(!loaded.ok && loaded.mistakes).toHaveLength(1);
});

test.each([
  ["plant/+", "plant/a", true],
  ["plant/#", "plant", true],
  ["plant/#", "plant/a/b", true],
  ["#", "x/y", true],
  ["plant/a", "plant/b", false],
  ["plant/+", "plant/a/b", false],
  ["plant/+/x", "plant/a/#", true],
  ["plant/a", "plant/a", true],
])("the filters %s and %s share a topic: %s", (one, other, share) => {
  const found = mistakesWith(
    `  - { id: GW-X, topic: "${one}" }\n  - { id: GW-PR, topic: "${other}", format: senml, map: [{ name: p, ${press} }] }`,
  );
  expect(found.some(({ expected }) => expected.includes("GW-X has not"))).toBe(share);
});

test("a key that may not stand is answered with those of the chosen format alone", () => {
  const expected = (source: string) => mistakesWith(source).map((one) => one.expected);
  expect(expected("  - { id: GW-PR, topic: a, map: [] }")).toEqual(["only id, topic, quietAtMost, format"]);
  expect(expected(`  - { id: GW-PR, topic: a, format: senml, time: x, map: [{ name: p, ${press} }] }`)).toEqual([
    "only id, topic, quietAtMost, format, map, others",
  ]);
  expect(expected(`  - { id: GW-PR, topic: a, format: senml, map: [{ name: p, at: x, ${press} }] }`)).toEqual([
    "only name, series, unit",
  ]);
});
