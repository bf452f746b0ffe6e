import type { LimitSet } from "../../spc/model/limit-set.ts";
import { labelOrder } from "../../spc/model/signal.ts";
import { WEEK_MS } from "../../spc/proposal/weekly-rate.ts";
import type { WireBenchList } from "../contract/bench-wire.ts";
import type { WireFlag } from "../contract/wire.ts";
import { chartHead } from "./bench-wire-form.ts";
import { type Charted, limitsInForce } from "./charted.ts";
import type { FlagBook } from "./flag-book.ts";
import { missingRuns, staleOf } from "./limit-book.ts";
import { type ProposalSource, proposalsOn } from "./proposals.ts";
import { newestPoints } from "./wire-characteristic.ts";
import { instant } from "./wire-form.ts";

type Item = WireBenchList["items"][number];

const rulerPoints = 30;
const needs: readonly Item["need"][] = ["open-flag", "signals", "stale-limits", "without-limits", "none"];
/** After all others: charts without limits that could not have any yet. */
const notYet = needs.length;

/**
 * Every chart, the one that needs looking at most first. Of equal need the one nearer to its limits comes first, then the
 * one that has been longest without a value, then the order of the settings.
 */
export function benchList(
  model: ProposalSource & { charted(): Iterable<Charted>; readonly book: FlagBook },
  nowMs: number,
): WireBenchList {
  const items = [...model.charted()].map((charted) => itemOf(model, charted, nowMs));
  return { now: instant(nowMs), items: items.toSorted(byNeed) };
}

function itemOf(model: ProposalSource & { readonly book: FlagBook }, charted: Charted, nowMs: number): Item {
  const limits = limitsInForce(charted, nowMs);
  const open = model.book.openOn(charted.characteristic.id);
  const flag = open === null ? undefined : model.book.find(open);
  const signalsLastWeek = charted.recent.filter(
    ({ signals, atMs }) => signals.length > 0 && nowMs - atMs <= WEEK_MS,
  ).length;
  const stale = staleOf(charted, limits, nowMs);
  const points = newestPoints(charted, limits, rulerPoints);
  return {
    characteristic: chartHead(charted),
    need: needOf(flag, signalsLastWeek, stale.length, limits),
    flag: flag === undefined ? null : slimFlag(flag),
    signalsLastWeek,
    stale,
    limits: limits === undefined ? null : { id: limits.id, revision: limits.revision, ...limits.location },
    missing: missingRuns(charted, limits),
    latest: latestOf(points.at(-1), limits),
    ruler: points.map(({ location }) => location.value),
    proposals: proposalsOn(model, charted.characteristic.id, "open").length,
  };
}

function needOf(
  flag: WireFlag | undefined,
  signals: number,
  stale: number,
  limits: LimitSet | undefined,
): Item["need"] {
  if (flag !== undefined) return "open-flag";
  if (signals > 0) return "signals";
  if (stale > 0) return "stale-limits";
  return limits === undefined ? "without-limits" : "none";
}

function byNeed(a: Item, b: Item): number {
  const need = rank(a) - rank(b);
  if (need !== 0) return need;
  if (a.flag !== null && b.flag !== null) {
    return labelOrder.indexOf(a.flag.label) - labelOrder.indexOf(b.flag.label) || a.flag.number - b.flag.number;
  }
  return b.signalsLastWeek - a.signalsLastWeek || nearness(a) - nearness(b) || newestMs(a) - newestMs(b);
}

function rank(item: Item): number {
  return item.need === "without-limits" && !couldHaveLimits(item) ? notYet : needs.indexOf(item.need);
}

/** Values that never differ give no limits, however many there are. */
function couldHaveLimits({ missing, ruler }: Item): boolean {
  return missing !== null && missing.has >= missing.needs && ruler.some((value) => value !== ruler[0]);
}

/** How many sigma the newest value lies inside the nearer limit; what has no distance counts as the farthest. */
function nearness({ latest, limits }: Item): number {
  const value = latest?.value ?? null;
  if (value === null || limits === null) return Number.MAX_VALUE;
  const away = Math.min(limits.upper - value, value - limits.lower) / limits.sigma;
  return Number.isFinite(away) ? away : Number.MAX_VALUE;
}

function newestMs({ latest }: Item): number {
  return latest === null ? Number.MAX_VALUE : Date.parse(latest.at);
}

function slimFlag({ id, number, label, state, says }: WireFlag): NonNullable<Item["flag"]> {
  return { id, number, label, state, says };
}

function latestOf(point: ReturnType<typeof newestPoints>[number] | undefined, limits: LimitSet | undefined) {
  if (point === undefined) return null;
  const { value, verdict } = point.location;
  const z = value === null || limits === undefined ? null : (value - limits.location.centre) / limits.location.sigma;
  return { run: point.run, at: instant(point.atMs), value, verdict, z };
}
