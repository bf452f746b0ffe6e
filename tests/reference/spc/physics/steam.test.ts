import { expect, test } from "vitest";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { REGION_4, steamPressure, steamTemperature } from "../../../../spc/physics/steam.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";
import { significant } from "./significant.ts";

const numberOf = (outcome: Outcome<number>): number => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};

for (const record of reference("iapws_region4_coefficients.json", [])) {
  if (record.id !== "region4_coefficients") continue;
  test(`the ten coefficients are those of IAPWS R7-97(2012), Table 34 [from memory, proven by Tables 35 and 36]`, () => {
    REGION_4.forEach((coefficient, i) => {
      record.check(`${i + 1}`, coefficient, relative(0));
    });
  });
}

for (const record of reference("iapws_if97_region4.csv", ["argument"])) {
  const argument = Number(record.get("argument"));
  const quantity = record.get<string>("quantity");
  test(`${record.title}: ${quantity} at ${argument}`, () => {
    const isTemperature = quantity.startsWith("Ts_of_p");
    const ours = numberOf(isTemperature ? steamTemperature(argument) : steamPressure(argument));
    // Published to nine digits, worked out apart from this code to ten or twelve.
    if (record.get<string>("published") !== "") record.check("published", ours, significant(9));
    const digits = quantity.startsWith("triple") ? 6 : quantity.includes("gauge") ? 10 : 12;
    record.check("computed", ours, significant(digits));
    const written = /([\d.]+) degC/.exec(record.get<string>("status"))?.[1];
    if (written !== undefined) expect((ours - 273.15).toFixed(3)).toBe(written);
    if (isTemperature) expect(Math.abs(numberOf(steamPressure(ours)) / argument - 1)).toBeLessThan(1e-8);
  });
}

test.each([
  [0, 99.97],
  [0.3, 107.41],
  [0.9, 118.82],
  [1.2, 123.44],
  [8, 175.42],
])("%d bar gauge at an air pressure of 1013.25 hPa is steam of %d Cel", (gaugeBar, cel) => {
  const kelvin = numberOf(steamTemperature(0.101325 + gaugeBar / 10));
  expect(Math.abs(kelvin - 273.15 - cel)).toBeLessThan(printed(2).around(cel));
});
