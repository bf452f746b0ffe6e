import { expect, test } from "vitest";
import { changePointByCusumZero } from "../../../../spc/changepoint/cusum-zero.ts";
import { changePointKnownCentre } from "../../../../spc/changepoint/known-centre.ts";
import { changePointPosterior, highestDensitySet } from "../../../../spc/changepoint/posterior.ts";
import { changePointUnknown } from "../../../../spc/changepoint/unknown-levels.ts";
import { columnFrom } from "../../../../spc/model/column.ts";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, relative } from "../../ledger/tolerance.ts";

const records = reference("changepoint.json", ["data"]);
const nile = records.find(({ id }) => id === "nile")!;
const nist = records.find(({ id }) => id === "nist-cusum-data")!;

function value<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
}

test(`${nile.title}: the level changed after 28 values, in 1898`, () => {
  const flow = nile.get<number[]>("data");
  const found = value(changePointUnknown(flow));
  // The first place of the new level, from 0, is how many values lie before it.
  nile.check("published.last_obs_before_change", found.index, absolute(0));
  nile.check("published.year", 1870 + found.index, absolute(0));
  nile.check("recomputed.tau", found.index, absolute(0));
  nile.check("recomputed.F", found.f, relative(1e-12));
  nile.check("recomputed.mean_before", found.before, relative(1e-12));
  nile.check("recomputed.mean_after", found.after, relative(1e-12));
  nile.checkAll("recomputed.hpd95", found.set, absolute(0));
  const posterior = value(changePointPosterior(flow));
  for (const place of Object.keys(nile.get<object>("recomputed.posterior"))) {
    nile.check(`recomputed.posterior.${place}`, posterior[Number(place)]!, relative(1e-9));
  }
  expect(found.probability).toBe(posterior[28]);
  expect(highestDensitySet(posterior, 0.7)).toEqual([28]);
  // What is left about the two levels is independent: the lag-1 of 0.5 was the step.
  expect(found.cautions).toEqual([]);
});

test(`${nist.title}: the shift after 12 values, whichever way it is asked for`, () => {
  const y = nist.get<number[]>("data");
  const found = value(changePointUnknown(y));
  nist.check("recomputed.two_segment_tau", found.index, absolute(0));
  // Exact arithmetic gives 144.84167524426766: the published one carries rounding of its own in the eleventh digit.
  nist.check("recomputed.F", found.f, relative(1e-9));
  expect(found.f).toBeCloseTo(144.84167524426766, 9);
  nist.check("recomputed.posterior_tau_12", found.probability, relative(1e-9));
  for (const at of Object.keys(nist.get<object>("recomputed.known_mu0_MLE"))) {
    // With a sigma of one the criterion is in the data's own unit.
    const known = value(changePointKnownCentre(y, 325, 1, Number(at)));
    nist.check(`recomputed.known_mu0_MLE.${at}.tau`, known.index, absolute(0));
    nist.check(`recomputed.known_mu0_MLE.${at}.criterion`, known.criterion, relative(1e-11));
    expect(known.set).toContain(12);
  }
  // NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k = 0.3175 in the data's unit.
  let sum = 0;
  const sums = y.map((x) => {
    sum = Math.max(0, sum + x - 325 - 0.3175);
    return sum;
  });
  const signal = sums.findIndex((s) => s > 4.1959) + 1;
  expect(signal).toBe(14);
  nist.check("recomputed.cusum_last_zero", changePointByCusumZero(columnFrom(sums), signal), absolute(0));
});
