import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { Caution } from "../model/drawn-chart.ts";
import { countDispersion } from "./count-dispersion.ts";
import type { CountForm } from "./count-law.ts";
import { chanceBeyond } from "./count-law.ts";
import type { CountLine } from "./count-lines.ts";
import type { CountTotals } from "./count-totals.ts";

/** Chance below which the scatter of counts is said not to be what the law gives. */
const UNLIKELY = 0.01;

/**
 * Cautions on counts: sides that cannot signal, scatter that is not the law's, and what whole numbers do to the chance.
 *
 * @shape   counts with sizes, their form, totals, rate and design, and what gives the lines of a size
 * @unit    dimensionless
 * @method  low-counts where the lower limit is 0 at the greatest size, or fewer than one count is expected at the
 *          least; overdispersed or underdispersed where chi-square gives the scatter less than 1 %; achieved-chance
 *          states for exact limits how often chance passes them, at the least and the greatest size
 * @cost    O(n)
 * @source  chart by chart as in NIST/SEMATECH e-Handbook 6.3.3 (from memory); the 1 %: common practice, no source
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function countCautions(
  data: Counted,
  form: CountForm,
  totals: CountTotals,
  rate: number,
  design: ChartDesign,
  line: (size: number) => CountLine,
): readonly Caution[] {
  const [least, most] = totals.sizes;
  const cautions: Caution[] = [];
  if (line(least).lower <= 0) {
    const where = line(most).lower <= 0 ? "no place" : "not every place";
    const few = least * rate < 1 ? "; fewer than one is expected at a place, where a g or t chart sees more" : "";
    const text = `${where} has a lower limit above 0, so an improvement cannot be seen there by one point${few}`;
    cautions.push({ code: "low-counts", text });
  }
  const scatter = countDispersion(data, form.law, totals.rate, design.baseline);
  const said = (p: number): string => `chi-square ${short(scatter!.statistic)} on ${scatter!.df}, p ${chance(p)}`;
  if (scatter !== null && scatter.pOver < UNLIKELY) {
    const text = `counts scatter more than chance makes them (${said(scatter.pOver)}): rates differ from place to place, or counts come in clusters`;
    cautions.push({ code: "overdispersed", text });
  }
  if (scatter !== null && scatter.pUnder < UNLIKELY) {
    const text = `counts scatter less than chance makes them (${said(scatter.pUnder)}): mixed sources, or figures that were not counted`;
    cautions.push({ code: "underdispersed", text });
  }
  if (design.limits === "exact")
    cautions.push({ code: "achieved-chance", text: achieved(form, rate, least, most, line) });
  return cautions;
}

function achieved(
  form: CountForm,
  rate: number,
  least: number,
  most: number,
  line: (size: number) => CountLine,
): string {
  const at = (size: number): string => {
    const per = form.plots === "rate" ? size : 1;
    const { lower, upper } = line(size);
    const { below, above } = chanceBeyond(form.law, size, rate, { lower: lower * per, upper: upper * per });
    return `${percent(below)} below and ${percent(above)} above`;
  };
  const sizes = least === most ? at(most) : `${at(least)} at size ${short(least)}, ${at(most)} at size ${short(most)}`;
  return `counts are whole, so chance passes the limits on ${sizes}`;
}

function percent(share: number): string {
  return `${short(100 * share)} %`;
}

function chance(p: number): string {
  return p < 0.0001 ? "below 0.0001" : short(p);
}

function short(value: number): string {
  return `${Number(value.toPrecision(3))}`;
}
