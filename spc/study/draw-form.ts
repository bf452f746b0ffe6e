import { drawAveragesWithRange } from "../drawn/averages-range.ts";
import { drawAveragesWithS } from "../drawn/averages-s.ts";
import { drawBatchMeans } from "../drawn/batch-mean.ts";
import { drawC } from "../drawn/c.ts";
import { drawCusum } from "../drawn/cusum.ts";
import { drawEwma } from "../drawn/ewma.ts";
import { drawG } from "../drawn/g.ts";
import { drawIndividuals } from "../drawn/individuals.ts";
import { drawMedians } from "../drawn/medians.ts";
import { drawMewma } from "../drawn/mewma.ts";
import { drawMovingAverage } from "../drawn/moving-average.ts";
import { deviationsFrom, drawNominal } from "../drawn/nominal.ts";
import { drawNp } from "../drawn/np.ts";
import { drawP } from "../drawn/p.ts";
import { drawPPrime } from "../drawn/p-prime.ts";
import { drawQ } from "../drawn/q.ts";
import { drawResidual } from "../drawn/residual.ts";
import { drawT } from "../drawn/t.ts";
import { drawT2 } from "../drawn/t2.ts";
import { drawThreeWay } from "../drawn/three-way.ts";
import { drawU } from "../drawn/u.ts";
import { drawUPrime } from "../drawn/u-prime.ts";
import { drawZW } from "../drawn/z-w.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { type Column, constantColumn } from "../model/column.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped, Span } from "../model/grouped.ts";
import type { StudyForm } from "./forms.ts";
import { nominalList } from "./from-nominal.ts";
import type { StudyRequest } from "./request.ts";

/** Points that a moving average spans unless told. */
const USUAL_SPAN = 5;

type Draw<D> = (data: D, design: ChartDesign, request: StudyRequest) => DrawnCharts;

const ofValues: Readonly<Record<string, Draw<Grouped>>> = {
  individuals: drawIndividuals,
  "xbar-r": drawAveragesWithRange,
  "xbar-s": drawAveragesWithS,
  "median-r": drawMedians,
  "three-way": (data, design) => drawThreeWay(data, design),
  "moving-average": (data, design, { span }) => drawMovingAverage(data, design, span ?? USUAL_SPAN),
  ewma: (data, design, { lambda, width }) => drawEwma(data, design, { ...given({ lambda, width }) }),
  cusum: (data, design, { k, h }) => drawCusum(data, design, { ...given({ k, h }) }),
  g: drawG,
  t: drawT,
  q: (data, design) => drawQ(data, design),
  residual: (data, design) => drawResidual(data, design),
  "batch-mean": (data, design, { span }) => drawBatchMeans(data, design, { ...given({ size: span }) }),
};

const ofCounts: Readonly<Record<string, Draw<Counted>>> = {
  p: drawP,
  np: drawNp,
  c: drawC,
  u: drawU,
  "p-prime": (data, design) => drawPPrime(data, design),
  "u-prime": (data, design) => drawUPrime(data, design),
};

/**
 * Draws the form over the data of a study. A RangeError says that the two do not go together.
 *
 * @source  definition
 */
export function drawForm(form: StudyForm, request: StudyRequest, baseline: Span): DrawnCharts {
  const { data, width, limits, basis, centre, sigma, lambda, h } = request;
  const design: ChartDesign = { baseline, k: width ?? 3, limits, basis, centre, sigma };
  if (data.kind === "vectors") {
    if (form === "t2") return drawT2(data.vectors, design);
    if (form === "mewma") return drawMewma(data.vectors, design, { ...given({ lambda, h }) });
  } else if (data.kind === "counts") {
    // Counts without sizes are all of one area of opportunity, whatever stood beside them.
    const counted =
      form === "c" ? { ...data.counted, sizes: constantColumn(1, data.counted.counts.length) } : data.counted;
    const draw = ofCounts[form];
    if (draw !== undefined) return draw(counted, design, request);
  } else {
    const { values, parts, nominal } = data;
    if (form === "nominal" && nominal !== null) return drawNominal(values, nominalList(nominal), design);
    if (form === "z-w" && parts !== null) return drawParts(values, parts, nominal, design);
    const draw = ofValues[form];
    if (draw !== undefined) return draw(values, design, request);
  }
  throw new RangeError(`a chart of the form ${form} cannot be drawn from ${data.kind}`);
}

/** Each value from its nominal one, in units of its part's own sigma; without nominal values, from its part's mean. */
function drawParts(
  values: Grouped,
  parts: readonly string[],
  nominal: Column | null,
  design: ChartDesign,
): DrawnCharts {
  if (nominal === null) return drawZW(values, parts, design);
  const away = deviationsFrom(values, nominalList(nominal));
  // The nominal values were given, so deviations lie about zero; the sigmas are each part's own.
  return drawZW(away, parts, design, new Map(Array.from(new Set(parts), (part) => [part, { mean: 0 }])));
}

/** Options that were given; the others take the usual value of the form. */
function given<T extends string>(options: Readonly<Record<T, number | null>>): { [K in T]?: number } {
  const out: { [K in T]?: number } = {};
  for (const name of Object.keys(options) as T[]) {
    const value = options[name];
    if (value !== null) out[name] = value;
  }
  return out;
}
