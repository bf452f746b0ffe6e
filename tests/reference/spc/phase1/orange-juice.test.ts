import { expect, test } from "vitest";
import { drawP } from "../../../../spc/drawn/p.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import type { PhaseOne } from "../../../../spc/phase1/phase-one.ts";
import { phaseOne } from "../../../../spc/phase1/phase-one.ts";
import type { RecordedCause } from "../../../../spc/phase1/recorded-cause.ts";
import { countedWithout } from "../../../../spc/phase1/without-places.ts";
import { publishedRecords } from "../../ledger/published.ts";

// The limits themselves are asserted with the p chart; here the procedure that leads from the trial to the revised ones.
interface OrangeJuice {
  readonly input: { readonly defectives: readonly number[]; readonly n: number };
  readonly trial: { readonly p_bar: number; readonly signals_all_points_1based: readonly number[] };
  readonly revised_without_15_23: {
    readonly p_bar: number;
    readonly signals_all_points_1based: readonly number[];
    readonly signals_among_retained: readonly number[];
  };
}
const record = publishedRecords("textbook_phase1.json").find(({ id }) => id === "p-chart-orange-juice")!;
const book = record.body as OrangeJuice;
const cans = counted(book.input.defectives, book.input.n);
const draw = (exclude: readonly number[]) =>
  drawP(countedWithout(cans, exclude), usualDesign({ from: 0, to: book.input.defectives.length }));

const found = {
  who: "the engineer",
  when: "the same week",
  evidence: "the log book",
  action: "the batch was sent back",
};
const causes: readonly RecordedCause[] = [
  { place: 14, cause: "a new batch of cardboard", ...found },
  { place: 22, cause: "an inexperienced operator", ...found },
];

function asked(recorded: readonly RecordedCause[]): PhaseOne {
  const outcome = phaseOne(draw, recorded);
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
}

/** Places as the book counts them, from 1. */
const samples = (signals: PhaseOne["unexplained"]): number[] => signals.map(({ place }) => place + 1);

test("Montgomery, orange-juice cans (from memory): 15 and 23 signal and go with their causes, 21 then signals and stays", () => {
  const trial = asked([]);
  expect(trial.revised).toBeNull();
  expect(samples(trial.trial.signals)).toEqual(book.trial.signals_all_points_1based);
  expect(trial.unexplained).toEqual(trial.trial.signals);
  expect(trial.trial.drawn.charts[0]!.centres.at(0)).toBeCloseTo(book.trial.p_bar, 12);

  const study = asked(causes);
  const revised = study.revised!;
  expect(samples(study.trial.signals)).toEqual(book.trial.signals_all_points_1based);
  expect(revised.drawn.charts[0]!.centres.at(0)).toBeCloseTo(book.revised_without_15_23.p_bar, 12);
  expect(samples(revised.signals)).toEqual(book.revised_without_15_23.signals_all_points_1based);
  expect(samples(study.unexplained)).toEqual(book.revised_without_15_23.signals_among_retained);
  expect(revised.signals.map(({ cause }) => cause?.cause ?? null)).toEqual([
    "a new batch of cardboard",
    null,
    "an inexperienced operator",
  ]);
});
