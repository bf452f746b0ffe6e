import type { WireBench, WireTrial, WireTrialPoint } from "../../api/contract/bench-wire.ts";
import type { WireFlag, WireLimitSet } from "../../api/contract/wire.ts";
import { countedPoints } from "./bench-count.ts";
import { patternRuns } from "./bench-pattern.ts";
import { patternWords } from "./bench-rules.ts";
import { ringLabel } from "./flag-words.ts";
import { limitUncertainty } from "./limit-uncertainty.ts";
import { figure, sentenceCase } from "./numbers.ts";
import type { SiteTimes } from "./times.ts";

export type PanelName = "location" | "spread";

interface Lines {
  readonly centre: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
}

interface PanelPoint extends Lines {
  readonly value: number | null;
  readonly ring: { readonly label: WireFlag["label"]; readonly number: string | null } | null;
}

export interface PicturePoint {
  readonly run: string;
  readonly at: string;
  readonly imported: boolean;
  /** No line is drawn to it. */
  readonly anew: boolean;
  readonly excluded: boolean;
  /** Counted by a pattern or a signal. */
  readonly used: boolean;
  readonly location: PanelPoint;
  readonly spread: PanelPoint;
}

/** A stretch under one choice of limits; places are indices of points, both ends included. */
export interface PicturePhase {
  readonly key: string;
  /** The limit set whose lines these are: stretches of one set that follow each other are one line with steps. */
  readonly set: string;
  readonly from: number;
  readonly to: number;
  /** False over imported points: the lines are drawn there to compare by, they never judged them. */
  readonly ruled: boolean;
  /** What stands at the upright rule where it begins, longest first; null where none is drawn. */
  readonly names: readonly string[] | null;
  readonly date: string | null;
  readonly lines: Readonly<Record<PanelName, Lines>>;
}

export interface PicturePattern {
  readonly on: PanelName;
  readonly from: number;
  readonly to: number;
  readonly side: "above" | "below" | "both";
  readonly text: string;
}

/** All that one chart pair draws, before it has a size. */
export interface BenchPicture {
  readonly digits: number;
  readonly points: readonly PicturePoint[];
  readonly phases: readonly PicturePhase[];
  /** How far the newest location limits may be off, either way; null where that is not said. */
  readonly uncertainty: { readonly set: string; readonly by: number } | null;
  /** Limits in force that no point has met yet: drawn after the newest one. */
  readonly next: PicturePhase | null;
  readonly gaps: readonly {
    readonly from: number;
    readonly to: number;
    readonly between: boolean;
    readonly text: string;
  }[];
  readonly patterns: readonly PicturePattern[];
  readonly change: {
    readonly at: number;
    readonly first: number;
    readonly last: number;
    /** Longest first. */
    readonly wordings: readonly string[];
  } | null;
  readonly tags: readonly { readonly number: number; readonly at: number }[];
  readonly specification: readonly number[];
  /** Runs of a window chosen for limits, as places; null while none is. */
  readonly window: { readonly from: number; readonly to: number } | null;
}

export type NameRun = (run: string) => string;

export function benchPicture(bench: WireBench, asked: WireFlag | null, times: SiteTimes, name: NameRun): BenchPicture {
  const { points, characteristic } = bench;
  const place = new Map(points.map((point, index) => [point.run, index]));
  const at = (run: string): number => place.get(run) ?? -1;
  const flags = new Map(bench.flags.map((flag) => [flag.id, flag]));
  const out = new Set(bench.exclusions.map(({ run }) => run));
  const signals = new Map<string, WireBench["signals"]>();
  for (const one of bench.signals) signals.set(one.run, [...(signals.get(one.run) ?? []), one]);
  // A flag's number is written once: at its newest ring above or, where it has none above, at its newest below.
  const numbered = new Map<string, { readonly run: string; readonly panel: PanelName }>();
  for (const panel of ["spread", "location"] as const) {
    for (const one of bench.signals) {
      if ((one.on === "spread") === (panel === "spread")) numbered.set(one.flag, { run: one.run, panel });
    }
  }
  const used = new Set(
    bench.signals.filter((one) => asked === null || one.flag === asked.id).flatMap(({ members }) => members),
  );
  const ringOn = (run: string, flag: string | null, panel: PanelName): PanelPoint["ring"] => {
    const here = (signals.get(run) ?? []).filter(({ on }) => (on === "spread") === (panel === "spread"));
    if (here.length === 0) return null;
    const known = flag === null ? undefined : flags.get(flag);
    const place = known === undefined ? undefined : numbered.get(known.id);
    const first = place?.run === run && place.panel === panel;
    return { label: ringLabel(known), number: first && known !== undefined ? `flag ${known.number}` : null };
  };
  let before: string | null = null;
  const phases = bench.phases.flatMap((phase): readonly PicturePhase[] => {
    const from = at(phase.from.run);
    const to = at(phase.to.run);
    const { limits } = phase;
    if (limits === null || from < 0 || to < 0) return [];
    const begins = !phase.imported && limits.id !== before;
    if (!phase.imported) before = limits.id;
    const since = Date.parse(limits.effectiveFrom);
    return steps(points, from, to).map(
      (step): PicturePhase => ({
        ...{ key: `${limits.id} ${step.from}`, set: limits.id },
        ...{ ...step, ruled: !phase.imported, date: `since ${times.day(since)}` },
        names: begins && step.from === from ? setNames(limits, characteristic.runWord, times) : null,
      }),
    );
  });
  const { limits } = bench;
  const met = limits === null || bench.phases.some((phase) => !phase.imported && phase.limits?.id === limits.id);
  // Only after the newest judged point: between older ones and these limits others may have ruled.
  const last = points.at(-1)?.at ?? null;
  const end = limits !== null && (last === null || Date.parse(limits.effectiveFrom) <= Date.parse(last) + 1);
  const found = bench.change?.found ?? null;
  return {
    digits: characteristic.digits,
    points: points.map((point) => ({
      ...{ run: point.run, at: point.at, imported: point.imported, anew: point.anew },
      excluded: out.has(point.run),
      used: used.has(point.run),
      location: { ...linesOf(point.location), ring: ringOn(point.run, point.flag, "location") },
      spread: { ...linesOf(point.spread), ring: ringOn(point.run, point.flag, "spread") },
    })),
    phases,
    uncertainty: uncertaintyOf(limits),
    next: limits === null || met || !end ? null : nextPhase(limits, points.length, characteristic.runWord, times),
    gaps: bench.gaps.flatMap((gap) => {
      const [from, to] = [at(gap.from.run), at(gap.to.run)];
      return from < 0 || to < 0
        ? []
        : [{ from, to, between: gap.kind === "no-runs", text: gap.kind === "no-runs" ? "no runs" : gap.reason.detail }];
    }),
    patterns: longest([
      ...bench.signals
        .filter(({ on, members }) => on !== "specification" && members.length > 1)
        .flatMap((one) => patternOf(one.rule, one.on === "spread" ? "spread" : "location", one.side, one.members, at)),
      ...points.flatMap((point) =>
        (point.silenced ?? []).flatMap(({ rule, side }) =>
          patternOf(rule, "location", side, patternRuns(point, points, rule, side), at, true),
        ),
      ),
    ]),
    change: found === null || "refusal" in found ? null : changeOf(found, at, name),
    tags: bench.causes.flatMap(({ number, afterRun }) =>
      afterRun === null || at(afterRun) < 0 ? [] : [{ number, at: at(afterRun) }],
    ),
    specification: [bench.specification?.lower, bench.specification?.upper].filter((line) => line !== undefined),
    window: null,
  };
}

/** A trial drawn as one of its two sides judges it; null where that side has no limits to draw. */
export function trialPicture(trial: WireTrial, side: "trial" | "revised", name: NameRun): BenchPicture {
  const { points, characteristic } = trial;
  const place = new Map(points.map((point, index) => [point.run, index]));
  const at = (run: string): number => place.get(run) ?? -1;
  const judged = (point: WireTrialPoint): WireTrialPoint["trial"] =>
    side === "revised" && point.revised !== null ? point.revised : point.trial;
  const ring = (point: WireTrialPoint, panel: PanelName): PanelPoint["ring"] =>
    judged(point).signals.some(({ on }) => (on === "spread") === (panel === "spread"))
      ? { label: "for-review", number: null }
      : null;
  const limits = side === "revised" ? trial.revised : trial.trial;
  const has = limits !== null && !("refusal" in limits);
  return {
    digits: characteristic.digits,
    points: points.map((point) => ({
      ...{ run: point.run, at: point.at, imported: point.imported, anew: point.anew, excluded: point.excluded },
      used: point.lookAt,
      location: { ...linesOf(judged(point).location), ring: ring(point, "location") },
      spread: { ...linesOf(judged(point).spread), ring: ring(point, "spread") },
    })),
    phases:
      has && points.length > 0
        ? [
            {
              ...{ key: side, set: side, from: 0, to: points.length - 1, ruled: true, names: null, date: null },
              lines: { location: limits.location, spread: limits.spread },
            },
          ]
        : [],
    uncertainty: null,
    next: null,
    gaps: points.flatMap((point, index): BenchPicture["gaps"] => {
      if (point.value === null)
        return [{ from: index, to: index, between: false, text: point.refusal?.detail ?? "no value" }];
      return point.anew &&
        index > 0 &&
        points[index - 1]!.value !== null &&
        points[index - 1]!.imported === point.imported
        ? [{ from: index - 1, to: index, between: true, text: "no runs" }]
        : [];
    }),
    patterns: longest(
      points.flatMap((point) =>
        judged(point).signals.flatMap((one) =>
          one.members.length > 1
            ? patternOf(one.rule, one.on === "spread" ? "spread" : "location", one.side, one.members, at)
            : [],
        ),
      ),
    ),
    change: "refusal" in trial.change ? null : changeOf(trial.change, at, name),
    tags: [],
    specification: [],
    window: null,
  };
}

function uncertaintyOf(limits: WireLimitSet | null): BenchPicture["uncertainty"] {
  const by = limits === null ? null : limitUncertainty(limits);
  return limits === null || by === null ? null : { set: limits.id, by };
}

/** `Working limits 3, from 12 Jan 2026 06:00, 62 loads, set by one engineer and agreed by another`. */
export function setTitle(limits: WireLimitSet, runWord: string, times: SiteTimes): string {
  const from = Date.parse(limits.effectiveFrom);
  return (
    `Working limits ${limits.revision}, from ${times.fullDay(from)} ${times.minute(from)}, ` +
    `${countedPoints(limits.baseline.n, { runWord, subgroup: limits.scheme?.runs ?? 1 })}, set by ${limits.proposedBy} and agreed by ${limits.agreedBy}`
  );
}

/** The same, and shorter where there is less room. */
function setNames(limits: WireLimitSet, runWord: string, times: SiteTimes): readonly string[] {
  const day = times.day(Date.parse(limits.effectiveFrom));
  const name = `limits ${limits.revision}`;
  return [setTitle(limits, runWord, times), `Working ${name}, from ${day}`, `Working ${name}`, sentenceCase(name)];
}

type Judged = Pick<WireBench["points"][number], PanelName>;

/** Subgroups cut short and an EWMA's first points have lines of their own: a stretch for each. */
function steps(
  points: readonly Judged[],
  first: number,
  last: number,
): readonly Pick<PicturePhase, "from" | "to" | "lines">[] {
  const out: Pick<PicturePhase, "from" | "to" | "lines">[] = [];
  let from = first;
  for (let at = first; at <= last; at++) {
    const here = points[at]!;
    const next = at === last ? undefined : points[at + 1];
    if (next !== undefined && sameLines(here.location, next.location) && sameLines(here.spread, next.spread)) continue;
    out.push({ from, to: at, lines: { location: linesOf(here.location), spread: linesOf(here.spread) } });
    from = at + 1;
  }
  return out;
}

function sameLines(a: Lines, b: Lines): boolean {
  return a.centre === b.centre && a.lower === b.lower && a.upper === b.upper;
}

function nextPhase(limits: WireLimitSet, at: number, runWord: string, times: SiteTimes): PicturePhase {
  const since = times.day(Date.parse(limits.effectiveFrom));
  return {
    ...{ key: limits.id, set: limits.id, from: at, to: at, ruled: true, names: setNames(limits, runWord, times) },
    date: `since ${since}`,
    lines: { location: limits.location, spread: limits.spread },
  };
}

function linesOf(point: { readonly value: number | null } & Lines): { readonly value: number | null } & Lines {
  return { value: point.value, centre: point.centre, lower: point.lower, upper: point.upper };
}

interface Found {
  readonly run: string;
  readonly set: readonly string[];
}

function changeOf(found: Found, at: (run: string) => number, name: NameRun): BenchPicture["change"] {
  const here = at(found.run);
  if (here < 0) return null;
  const places = found.set.map(at).filter((place) => place >= 0);
  const [first, last] = [found.set[0], found.set.at(-1)];
  const range = first === undefined || first === last ? "" : ` (${name(first)} to ${name(last!)})`;
  return {
    at: here,
    first: places.length === 0 ? here : Math.min(...places),
    last: places.length === 0 ? here : Math.max(...places),
    wordings: [
      `change began near ${name(found.run)}${range}`,
      `change began near ${name(found.run)}`,
      "change began here",
    ],
  };
}

interface Placed extends PicturePattern {
  readonly rule: string;
  readonly members: readonly string[];
  /** Drawn, and opens no flag. */
  readonly silent: boolean;
}

function patternOf(
  rule: string,
  on: PanelName,
  side: PicturePattern["side"],
  members: readonly string[],
  at: (run: string) => number,
  silent = false,
): readonly Placed[] {
  const places = members.map(at).filter((place) => place >= 0);
  if (places.length === 0) return [];
  const [from, to] = [Math.min(...places), Math.max(...places)];
  return [{ rule, on, side, from, to, members, silent, text: "" }];
}

/** A row that goes on signalling gives a pattern a point: together they are one, as long as all of them. */
function longest(found: readonly Placed[]): readonly PicturePattern[] {
  const out: Placed[] = [];
  for (const one of found.toSorted((a, b) => a.from - b.from)) {
    const same = out.findIndex((known) => one.from <= known.to && kindOf(known) === kindOf(one));
    if (same < 0) out.push(one);
    else {
      const known = out[same]!;
      const members = [...new Set([...known.members, ...one.members])];
      out[same] = { ...known, to: Math.max(known.to, one.to), members };
    }
  }
  return out.map(({ rule, members, on, side, from, to, silent }) => {
    const words = patternWords(rule, side, merged(rule) ? members.length : needed(rule, members));
    return { on, side, from, to, text: silent ? `${words}, no flag` : words };
  });
}

function kindOf({ rule, on, side, silent }: Placed): string {
  return `${rule} ${on} ${side} ${silent}`;
}

/** Rules of an unbroken row grow with it; those of two in three and four in five do not. */
function merged(rule: string): boolean {
  return !rule.includes("-of-");
}

function needed(rule: string, members: readonly string[]): number {
  return Math.min(members.length, rule.startsWith("two") ? 2 : 4);
}

/** A value as the drawing, the table and the words write it: one place, so that they cannot differ. */
export function drawnFigure(value: number | null, digits: number): string {
  return value === null ? "" : figure(value, digits);
}
