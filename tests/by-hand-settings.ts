import { readFileSync } from "node:fs";

const begin = "    characteristics:\n";
const byHand = `      - feature: bead.density
        name: bulk density
        quantity: bulk-density
        digits: 1
        every: 1 h
        byPart: true
        byHand: { unit: g/L, values: 3, plausible: { lower: 15, upper: 35 }, how: Weigh a level litre three times }
      - feature: bead.moisture
        name: moisture
        quantity: content
        digits: 1
        every: 1 d
        byHand: { unit: "%" }
`;

/** The demo's settings, with two values that are written down at the presses. */
export function byHandSettings(): string {
  const demo = readFileSync("simulator/ostrimvale.yaml", "utf8");
  const press = demo.indexOf(begin, demo.indexOf("\n  press:\n")) + begin.length;
  return demo.slice(0, press) + byHand + demo.slice(press);
}
