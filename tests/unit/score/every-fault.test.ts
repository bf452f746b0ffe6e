import { expect, test } from "vitest";
import { faultKinds } from "../../../simulator/faults.ts";
import { instrumentPlaces, sizedFaults, unscoredFaults } from "../../score/plan/sized-faults.ts";

test("each fault of the plant is injected by the score, or is named with the reason why not", () => {
  const injected = new Set([...sizedFaults.map(({ name }) => name), ...Object.keys(instrumentPlaces)]);
  const left = Object.keys(unscoredFaults);
  const known = [...new Set(faultKinds.map(({ name }) => name))];
  expect([...injected, ...left].toSorted()).toEqual(known.toSorted());
  for (const reason of Object.values(unscoredFaults)) expect(reason.split(" ").length).toBeGreaterThan(3);
});
