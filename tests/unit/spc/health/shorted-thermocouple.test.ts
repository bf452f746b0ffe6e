import { expect, test } from "vitest";
import { shortedThermocouple } from "../../../../spc/health/shorted-thermocouple.ts";
import { readingsOf, same } from "./readings.ts";

const readings = (cel: number, count = 60) => readingsOf(same(cel, count));

test("near the hall's temperature while its peers are hot, it is shorted", () => {
  const finding = shortedThermocouple({ readings: readings(27), peers: [readings(55), readings(54)], ambientCel: 25 });
  expect(finding).toEqual({
    check: "short-circuit",
    verdict: "fault",
    says: "reads 27 °C with 25 °C round its terminals while its peers read 54 °C or more",
  });
});

test("in a cold oven all are cold, and it is well", () => {
  const finding = shortedThermocouple({ readings: readings(27), peers: [readings(28), readings(26)], ambientCel: 25 });
  expect(finding?.verdict).toBe("well");
});

test("without a peer a cold tip reads alike: undecided", () => {
  const input = { peers: [], ambientCel: 25 };
  expect(shortedThermocouple({ ...input, readings: readings(27) })?.verdict).toBe("undecided");
  expect(shortedThermocouple({ ...input, readings: readings(55) })).toBeNull();
});

test("one hot peer and one cold one do not make it the odd one out", () => {
  const finding = shortedThermocouple({ readings: readings(27), peers: [readings(55), readings(27)], ambientCel: 25 });
  expect(finding?.verdict).toBe("well");
});

test("a handful of readings says nothing", () => {
  expect(shortedThermocouple({ readings: readings(25, 9), peers: [readings(55)], ambientCel: 25 })).toBeNull();
});
