import { expect, test } from "vitest";
import { type LoadedSettings, loadSettings } from "../../../../collector/platform/settings/load.ts";
import { siteText } from "./site-text.ts";

const load = (text: string): LoadedSettings => loadSettings(Buffer.from(text));
const withInstrument = (words: string): string =>
  siteText.replace("everyInRun: 50 ms }", `everyInRun: 50 ms, resolution: 0.001, instrument: { ${words} } }`);
const mistakes = (text: string): readonly string[] => {
  const loaded = load(text);
  return loaded.ok ? [] : loaded.mistakes.map(({ path, expected }) => `${path}: ${expected}`);
};

test("what is said of an instrument decides what it is asked", () => {
  const text = withInstrument(
    "is: transmitter, wiring: loop, noise: 0.006, range: { lower: -1, upper: 2.5 }, calibrateEvery: 365 d, " +
      "zero: { segment: vent, last: 2 s, within: 0.02, where: at rest }, slow: { segment: vent, to: 0, atMost: 1.8 s }",
  ).replace("source: GW-PR }", "source: GW-PR, calibrated: { pressure: 2026-03-02 } }");
  const loaded = load(text);
  const series = loaded.ok ? loaded.site.stations[0]?.series["pressure"] : undefined;
  expect(series?.asked).toMatchObject({
    wiring: "loop",
    stuck: { noise: 0.006, step: 0.001, everyMs: 50 },
    clipped: { loop: true, upper: 2.5 },
    zero: { segment: "vent", lastMs: 2_000, is: 0, against: null },
    slow: { atMostSeconds: 1.8, witness: null },
    peers: null,
  });
  expect(series?.instrument).toMatchObject({ calibrated: "2026-03-02", calibrateEveryMs: 365 * 86_400_000 });
});

test("of an instrument that nothing is said of, only missing values are watched", () => {
  const loaded = load(siteText);
  const series = loaded.ok ? loaded.site.stations[0]?.series : undefined;
  expect(series?.["pressure"]).toMatchObject({ instrument: null, asked: { stuck: null, clipped: null, zero: null } });
  expect(series?.["step"]).toMatchObject({ asked: null });
});

test.each([
  [
    "a segment that the station has not",
    "is: x, zero: { segment: eject, last: 2 s, within: 1, where: y }",
    /zero\.segment: one of fill, autoclave, vent/,
  ],
  [
    "a peer that is not there",
    "is: x, peers: { roles: [other], within: 1 }",
    /peers\.roles\[?\.?0\]?: another reading/,
  ],
  [
    "a least that nobody reads",
    "is: x, least: { at: other, last: 1 min, within: 1, where: y }",
    /least\.at: another reading/,
  ],
  ["itself as its peer", "is: x, peers: { roles: [pressure], within: 1 }", /another reading of this station kind/],
  ["its error in two ways", "is: x, error: 1, errorShare: 0.1", /one of thermocouple, resistance, error, errorShare/],
  ["noise and spread", "is: x, noise: 1, spread: 1", /not both/],
  ["a thermocouple in bar", "is: x, thermocouple: { type: K, class: class-1 }", /a series in Cel, K or \[degF\]/],
  ["a range upside down", "is: x, range: { lower: 2, upper: 1 }", /a lower end below the upper one/],
])("%s is a mistake with its place", (_, words, expected) => {
  expect(mistakes(withInstrument(words)).join("\n")).toMatch(expected);
});

test("a supply that nobody declared and a calibration of nothing are mistakes", () => {
  const fed = siteText.replace("source: GW-PR }", "source: GW-PR, fedBy: [BO-1], calibrated: { step: 2026-01-01 } }");
  expect(mistakes(fed).join("\n")).toMatch(/fedBy.*: none: nothing of the kind is declared/);
  expect(mistakes(fed).join("\n")).toMatch(/calibrated\.step: none/);
});
