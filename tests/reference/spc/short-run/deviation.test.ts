import { expect, test } from "vitest";
import { drawNominal } from "../../../../spc/drawn/nominal.ts";
import type { PartModel } from "../../../../spc/drawn/z-w.ts";
import { drawZW } from "../../../../spc/drawn/z-w.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { drawnValues } from "../../../unit/spc/time-weighted/series.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, relative } from "../../ledger/tolerance.ts";

const records = reference("rare_shortrun_misc.json", ["input"]);
const recordOf = (id: string) => records.find((record) => record.id === id)!;

const deviation = recordOf("deviation-from-nominal");

test(`${deviation.title}: deviations, centre and limits`, () => {
  const rows = deviation.get<readonly (readonly [string, number, number])[]>("input");
  const data = singles(rows.map(([, value]) => value));
  const nominal = rows.map(([, , target]) => target);
  const { charts } = drawNominal(data, nominal, usualDesign({ from: 0, to: rows.length }));
  const [location, spread] = [charts[0]!, charts[1]!];
  expect(charts.map(({ kind }) => kind)).toEqual(["deviation", "moving-range"]);
  // The file writes its deviations with one decimal, without the last bits of the subtraction.
  deviation.checkAll("recomputed.dev", drawnValues(location) as number[], absolute(1e-12));
  deviation.check("recomputed.mean", location.centres.at(0)!, absolute(1e-12));
  deviation.check("recomputed.mr_bar", spread.centres.at(0)!, relative(1e-12));
  deviation.check("recomputed.ucl", location.upper.at(0)!, relative(1e-9));
  deviation.check("recomputed.lcl", location.lower.at(0)!, relative(1e-9));
});

const standardised = recordOf("standardised-Z-MR");

test(`${standardised.title}: z, w and their limits`, () => {
  const parts = standardised.get<readonly (readonly [string, number])[]>("input.parts");
  const models = standardised.get<Record<string, readonly [number, number]>>("input.part_mean_sigma");
  const known = new Map(
    Object.entries(models).map(([part, [mean, sigma]]): [string, PartModel] => [part, { mean, sigma }]),
  );
  const data = singles(parts.map(([, value]) => value));
  const { charts } = drawZW(
    data,
    parts.map(([part]) => part),
    usualDesign({ from: 0, to: parts.length }),
    known,
  );
  const [z, w] = [charts[0]!, charts[1]!];
  expect(charts.map(({ kind }) => kind)).toEqual(["z", "w"]);
  standardised.checkAll("recomputed.Z", drawnValues(z) as number[], relative(1e-12));
  expect(w.values.at(0)).toBeNull();
  drawnValues(w).forEach((value, i) => {
    if (i > 0) standardised.check(`recomputed.W.${i}`, value!, relative(1e-12));
  });
  standardised.checkAll("recomputed.limits_Z", [z.lower.at(0)!, z.upper.at(0)!], absolute(0));
  standardised.check("recomputed.W_cl", w.centres.at(0)!, relative(1e-12));
  standardised.check("recomputed.W_ucl", w.upper.at(0)!, relative(1e-11));
});
