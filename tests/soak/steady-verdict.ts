import type { SteadyResult, SteadySample } from "./steady.ts";

type Figure = "rssMiB" | "handles" | "loopMs" | "lagSeconds" | "owed";

/** How a figure went: its median in the second quarter of the run, after the warm-up, and in the last. */
export interface Course {
  readonly early: number;
  readonly late: number;
  readonly flat: boolean;
}

export interface Verdict {
  readonly courses: Readonly<Record<Figure, Course>>;
  readonly held: boolean;
}

/** What a figure may be more at the end than after the warm-up: so many of its own unit, or so large a part. */
const allowed: Readonly<Record<Figure, { readonly more: number; readonly part: number }>> = {
  rssMiB: { more: 24, part: 0.1 },
  handles: { more: 3, part: 0 },
  loopMs: { more: 25, part: 0.5 },
  lagSeconds: { more: 15, part: 0.25 },
  owed: { more: 300, part: 0.1 },
};
const MOST_MIB = 1_024;

/**
 * Held where all was acknowledged, nothing crashed, memory stayed below 1 GiB and every figure is flat. A backlog is over
 * while the product still warms up, and owes all of it at first: of its figures only the handles must be flat.
 */
export function verdictOf({ samples, sent, acknowledged, peakMiB, crashed }: SteadyResult, backlog: boolean): Verdict {
  const quarter = Math.floor(samples.length / 4);
  const course = (figure: Figure): Course => {
    const early = median(samples.slice(quarter, 2 * quarter), figure);
    const late = median(samples.slice(3 * quarter), figure);
    const { more, part } = allowed[figure];
    return { early, late, flat: late <= early + Math.max(more, part * early) };
  };
  const courses = {
    ...{ rssMiB: course("rssMiB"), handles: course("handles"), loopMs: course("loopMs") },
    ...{ lagSeconds: course("lagSeconds"), owed: course("owed") },
  };
  const judged = backlog ? [courses.handles] : Object.values(courses);
  const flat = quarter > 0 && judged.every((one) => one.flat);
  return { courses, held: flat && !crashed && acknowledged === sent && peakMiB <= MOST_MIB };
}

function median(samples: readonly SteadySample[], figure: Figure): number {
  const sorted = samples.map((sample) => sample[figure]).sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? Number.NaN;
}

const panels: readonly { readonly figure: Figure; readonly words: string }[] = [
  { figure: "rssMiB", words: "memory, MiB" },
  { figure: "handles", words: "handles" },
  { figure: "loopMs", words: "event loop late, ms (99 of 100)" },
  { figure: "lagSeconds", words: "source time behind, s" },
  { figure: "owed", words: "messages not acknowledged" },
];
const [width, height, left, top] = [900, 110, 60, 24];

/** All figures over the time of the run, one below the other. */
export function plotOf({ samples }: SteadyResult): string {
  const end = samples.at(-1)?.seconds ?? 1;
  const drawn = panels.map(({ figure, words }, i) => {
    const most = Math.max(...samples.map((sample) => sample[figure]), 1);
    const points = samples.map((sample) => {
      const x = left + ((width - left - 10) * sample.seconds) / end;
      return `${x.toFixed(1)},${(top + (height - top - 6) * (1 - sample[figure] / most)).toFixed(1)}`;
    });
    return `<g transform="translate(0 ${i * height})"><text x="${left}" y="16">${words}</text><text x="4" y="${top + 8}">${most.toFixed(0)}</text><text x="4" y="${height - 6}">0</text><path d="M${left} ${height - 6}H${width - 10}" stroke="#888"/><polyline points="${points.join(" ")}" fill="none" stroke="#05a"/></g>`;
  });
  const whole = panels.length * height;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${whole + 20}" font-family="sans-serif" font-size="12">${drawn.join("\n")}<text x="${left}" y="${whole + 14}">0 to ${end.toFixed(0)} s</text></svg>\n`;
}
