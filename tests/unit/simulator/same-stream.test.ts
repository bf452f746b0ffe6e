import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { readFault } from "../../../simulator/fault-words.ts";
import type { Fault } from "../../../simulator/faults.ts";
import { historyLines } from "../../../simulator/history.ts";
import { plant } from "../../../simulator/plant.ts";
import { type PlantKey, sources } from "../../../simulator/plant-layout.ts";
import { trueLines } from "../../../simulator/truth.ts";

const hourMs = 3_600_000;
const key: PlantKey = { seed: 7, firstMs: Date.UTC(2026, 2, 27, 5) };
const faults = ["cold-tap@PO-F@2h", "door-open@DR-1@1h+20min", "stuck@AO-1/t2@1h"].map((words): Fault => {
  const read = readFault(words, key.firstMs);
  if (!read.ok) throw new Error(read.mistake);
  return read.fault;
});

/** What a plant without any option sends and writes down. Results of scores are kept by seed: a seed stays what it was. */
describe("a seed's plant", () => {
  it("sends the same readings as ever", () => {
    const works = plant(key, faults);
    const sent = createHash("sha256");
    const fromMs = key.firstMs + 27 * hourMs;
    for (const source of sources) {
      for (const { kind, body } of works.messages(source, fromMs, fromMs + hourMs / 12))
        sent.update(kind + JSON.stringify(body));
    }
    expect(sent.digest("hex")).toBe("0421e7902f0688dfed943777fb36c52f57887aabc052d08be6bf19757055922a");
  });

  it("has the same truth and the same past as ever", () => {
    const works = plant(key, faults);
    const told = createHash("sha256");
    // Machines differ in the last digits of a sine.
    const tell = (line: string): void => {
      told.update(line.replace(/-?\d+\.\d+/g, (number) => Number(number).toPrecision(8)));
    };
    for (const line of trueLines(works.model, key.firstMs + 60 * hourMs, key.firstMs + 61 * hourMs)) tell(line);
    for (const line of historyLines(key, key.firstMs - 4 * hourMs, key.firstMs)) tell(line);
    expect(told.digest("hex")).toBe("131994a3cd19cee117d8b9a9a955e50ae62b2a9057ea112e9bee4cdc493c2c99");
  });
});
