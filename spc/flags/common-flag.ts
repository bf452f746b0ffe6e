import type { CommonCause } from "../model/journal-entry.ts";
import { labelOrder } from "../model/signal.ts";
import type { CommonChild, FlagMoment, FlagState } from "./flag.ts";

/** Opens the flag of what several stations have in common, with the first of their flags under it. */
export function openByCommon(common: CommonCause, number: number): FlagState {
  const moment: FlagMoment = { atMs: common.atMs, run: null, value: null, line: null, side: null, on: null, z: null };
  return withWords(
    {
      id: common.flag,
      number,
      station: common.station,
      characteristic: null,
      series: [],
      label: common.label,
      doFirst: common.doFirst,
      says: "",
      state: "waiting",
      run: null,
      runs: [],
      signals: 1,
      rules: ["common-cause"],
      first: moment,
      last: moment,
      worst: moment,
      late: common.late,
      foundMs: common.foundMs,
      cameBack: null,
      unseen: null,
      taken: null,
      done: null,
      common: {
        feeder: common.feeder,
        name: common.name,
        feeds: common.feeds,
        of: common.of,
        children: [childOf(common)],
      },
    },
    common,
  );
}

/** One more flag under it. The first up is the one that began first, in whatever order they were found. */
export function joinCommon(flag: FlagState, common: CommonCause): FlagState {
  const before = flag.common;
  if (before === undefined || before.children.some((one) => one.flag === common.child)) return flag;
  const children = [...before.children, childOf(common)].sort(
    (a, b) => a.atMs - b.atMs || (a.station < b.station ? -1 : a.station > b.station ? 1 : 0),
  );
  const first = children[0]!;
  return withWords(
    {
      ...flag,
      station: first.station,
      signals: flag.signals + 1,
      late: flag.late && common.late,
      first: { ...flag.first, atMs: first.atMs },
      last: { ...flag.last, atMs: children.at(-1)!.atMs },
      common: { ...before, children },
    },
    common,
  );
}

function childOf({ child, station, atMs, own }: CommonCause): CommonChild {
  return { flag: child, station, atMs, ...(own === true ? { own } : {}) };
}

function withWords(flag: FlagState, { label }: CommonCause): FlagState {
  const { name, feeds, of, children } = flag.common!;
  const stations = new Set(children.filter(({ own }) => own !== true).map(({ station }) => station)).size;
  const own = children.find((child) => child.own === true)?.station;
  const raised = labelOrder.indexOf(label) < labelOrder.indexOf(flag.label) ? label : flag.label;
  const all = stations === feeds ? `all ${feeds}` : `${stations} of ${feeds}`;
  return {
    ...flag,
    label: raised,
    says: `${name}: ${all} ${of}`,
    evidence:
      `${all} ${of} behind ${name} flagged within 5 min, ${children[0]!.station} first: ` +
      `what they share rather than one of them${own === undefined ? "" : `, and ${own} shows it`}`,
  };
}
