import { expect, test } from "vitest";
import { seriesCatalogue, seriesPlaces } from "../../../collector/decode/catalogue.ts";
import { demoSite } from "../../demo-site.ts";

const site = demoSite();

test("a series is known by station and role, with its source and how its units convert", () => {
  const entry = seriesCatalogue(site).find("PR-01/pressure");
  expect(entry).toMatchObject({ id: "PR-01/pressure", source: "GW-PR", kind: "reading", unit: "bar" });
  expect(entry?.toCanonical(0.901, "bar")).toBe(0.901);
  expect(entry?.toCanonical(90, "kPa")).toBe(0.9);
  expect(entry?.toCanonical(0.9, "Cel")).toBeUndefined();
  expect(entry?.toCanonical(0.9, "constructor")).toBeUndefined();
});

test("the reduced series of a waveform are kept, but nobody may send them", () => {
  expect(seriesPlaces(site).find("CT-A1/vibration-z.rms")).toMatchObject({ source: "GW-CT", station: "CT-A1" });
  expect(seriesPlaces(site).find("PR-01/pressure")).toMatchObject({ source: "GW-PR", station: "PR-01" });
  expect(seriesPlaces(site).find("elsewhere/x.rms")).toBeUndefined();
  expect(seriesPlaces(site).find("elsewhere")).toBeUndefined();
  expect(seriesCatalogue(site).find("CT-A1/vibration-z.rms")).toBeUndefined();
});
