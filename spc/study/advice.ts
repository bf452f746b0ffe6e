import { drawP } from "../drawn/p.ts";
import { usualDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import { betweenWithin } from "../sigma/between-within.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";
import { batchSizeFor } from "../stats/ar1-batches.ts";
import type { Seen } from "./diagnose.ts";
import type { StudyForm } from "./forms.ts";
import type { StudyData } from "./request.ts";

/** A form of chart, and why it was chosen, in plain words without a full stop. */
export interface Advice {
  readonly form: StudyForm;
  readonly advice: string;
}

/** Batches below which a chart of their means has too little to rest on. */
const LEAST_BATCHES = 25;
/** As the averages chart says it: chance of as much, and the ratio of variances from which it matters. */
const SMALL_CHANCE = 0.01;
const MATTERS = 1.5;
/** Samples of so many, more spread out than a binomial allows, are told from chance by their size alone. */
const LARGE_SAMPLE = 500;

/** The form that fits what was read; one of several that would do, and the reason says so. */
export function advise(data: StudyData, seen: Seen): Advice {
  if (data.kind === "vectors") {
    return { form: "t2", advice: "several values belong together, so they are watched as one vector" };
  }
  if (data.kind === "counts") return adviseCounts(data);
  if (data.parts !== null && data.nominal !== null) {
    return {
      form: "nominal",
      advice: "several parts share the series, so each value is taken from its part's nominal",
    };
  }
  // All places, not the baseline's: the chart has to take every one of them.
  return subgroupSizes(data.values.starts).largest > 1 ? adviseSubgroups(data) : adviseSingles(seen);
}

function adviseSingles({ autocorrelated, lag1, points }: Seen): Advice {
  if (!autocorrelated || lag1 === null || lag1 < 0) {
    return { form: "individuals", advice: "there is one value at a time, and neighbours do not lean on each other" };
  }
  const size = batchSizeFor(Math.min(lag1, 0.99));
  const neighbours = `each value leans on the one before it (lag 1 ${lag1.toFixed(2)})`;
  if (Math.floor(points / size) >= LEAST_BATCHES) {
    return { form: "batch-mean", advice: `${neighbours}, and there are enough for means of ${size}` };
  }
  return { form: "residual", advice: `${neighbours}, so what the value before does not explain is charted` };
}

function adviseSubgroups(data: Extract<StudyData, { kind: "values" }>): Advice {
  const places = data.values.starts.length - 1;
  const found = betweenWithin(data.values, usualDesign({ from: 0, to: places }));
  if (found.ok && found.value.p < SMALL_CHANCE && found.value.ratio >= MATTERS) {
    const advice = "subgroups differ from each other by more than the spread within them explains";
    return {
      form: "three-way",
      advice: `${advice}, so their averages are judged by how they differ from one to the next`,
    };
  }
  return { form: "xbar-s", advice: "there are several values in a subgroup, so their average and spread are charted" };
}

function adviseCounts({ counted, sized }: Extract<StudyData, { kind: "counts" }>): Advice {
  if (!sized) return { form: "c", advice: "counts came without sizes, so an equal area of opportunity is assumed" };
  let most = 0;
  let largest = 0;
  for (let place = 0; place < counted.counts.length; place += 1) {
    const size = counted.sizes.at(place);
    const count = counted.counts.at(place);
    if (size === null || count === null) continue;
    most = Math.max(most, count - size);
    largest = Math.max(largest, size);
  }
  if (most > 0) return { form: "u", advice: "some counts are larger than their sizes, so they are events in an area" };
  if (largest >= LARGE_SAMPLE && isOverdispersed(counted)) {
    return { form: "p-prime", advice: "samples are large and vary more than a binomial does, so that is allowed for" };
  }
  return { form: "p", advice: "each count is a share of its sample" };
}

function isOverdispersed(counted: Counted): boolean {
  const { cautions } = drawP(counted, usualDesign({ from: 0, to: counted.counts.length }));
  return cautions.some(({ code }) => code === "overdispersed");
}
