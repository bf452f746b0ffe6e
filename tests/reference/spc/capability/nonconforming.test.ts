import { expect, test } from "vitest";
import { expectedPpm, observedPpm } from "../../../../spc/capability/nonconforming.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

for (const record of reference("capability_ppm.csv", ["index"])) {
  // Thirds are printed to five decimals and were computed whole.
  const written = Number(record.get("index"));
  const index = written > 1.3333 && written < 1.3334 ? 4 / 3 : written > 1.6666 && written < 1.6667 ? 5 / 3 : written;
  test(`${record.title}: index ${index}`, () => {
    // A centred normal of sigma 1 between limits 3 Cp away.
    const both = expectedPpm({ lower: -3 * index, upper: 3 * index }, 0, 1, 1e9);
    const one = expectedPpm({ upper: 3 * index }, 0, 1, 1e9);
    if (!both.ok || !one.ok) throw new Error("refused");
    record.check("ppm_two_sided", both.value.total, relative(1e-9));
    record.check("ppm_one_sided", one.value.total, relative(1e-9));
    if (record.get<string>("printed_two_sided") === "") return;
    // 26.69 is printed as 26: cut off, where every other entry is rounded.
    if (index === 1.4) record.checkMisprint("printed_two_sided", both.value.total, printed(0), 1);
    else record.check("printed_two_sided", both.value.total, printed(0));
  });
}

// base R 4.2.2: binom.test(x, n)$conf.int, in ppm.
test.each([
  [0, 50, 0, 71121.7364641976],
  [1, 50, 506.227983040829, 106469.5457115],
  [3, 1000, 619.099931649572, 8742.02323847828],
  [50, 50, 928878.263535802, 1e6],
  [7, 120, 23772.0237905191, 116498.379645615],
])("%d of %d outside is between %d and %d ppm by Clopper and Pearson", (count, n, lower, upper) => {
  const found = observedPpm(count, n, 0.95);
  expect(found.estimate).toBe((1e6 * count) / n);
  expect(Math.abs(found.lower - lower)).toBeLessThanOrEqual(1e-9 * lower);
  expect(Math.abs(found.upper - upper)).toBeLessThanOrEqual(1e-9 * upper);
});
