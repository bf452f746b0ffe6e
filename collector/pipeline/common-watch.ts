import {
  type CommonState,
  commonCause,
  type Feeder,
  goesOn,
  noCommon,
  type Opening,
} from "../../spc/health/common-cause.ts";
import type { CommonCause, JournalEntry, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { FlagLabel } from "../../spc/model/signal.ts";
import type { Site } from "../platform/settings/site.ts";
import { commonEntry } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";

export interface CommonWatch {
  /** Flags that have just turned out to have their cause in common. */
  look(nowMs: number): readonly JournalEntry[];
}

/** A feeder with its words, and the flags that can have it as their cause. */
interface Named extends Feeder {
  readonly name: string;
  readonly of: string;
  readonly doFirst: string;
  explains(opened: Opened): boolean;
}

interface Opened {
  readonly flag: string;
  readonly station: string;
  readonly atMs: number;
  readonly label: FlagLabel;
  readonly late: boolean;
  /** Null for an instrument's flag. */
  readonly quantity: string | null;
  /** Null for an instrument's flag: what a chart expects between its points. */
  readonly everyMs: number | null;
}

const kinds = ["signal", "instrument", "silence", "common", "done"] as const;

/**
 * Watches for flags of stations that one supply or gateway feeds. In which order stations are cut is chance, so what is
 * found goes into the journal, where a replay takes it as it is: a flag has one common cause at most, the first found.
 */
export function commonWatch(site: Site, journal: Journal): CommonWatch {
  const feeders = feedersOf(site);
  const states = new Map<string, CommonState>();
  const opened = new Map<string, Opened>();
  const placed = new Set<string>();
  /** Feeder and common flag, by the flag that stands under it. */
  const under = new Map<string, Pick<CommonCause, "feeder" | "flag">>();
  let seq = 0;

  const take = (entry: StoredEntry): readonly CommonCause[] => {
    if (entry.kind === "common") {
      learn(entry.body);
      return [];
    }
    if (entry.kind === "done") {
      // What comes after a person has closed it is a new thing.
      for (const [feeder, state] of states) {
        if (state.group?.flag === entry.body.flag) states.set(feeder, { ...state, group: null });
      }
      return [];
    }
    const opening = openedBy(entry, site);
    if (opening === null) return [];
    if (!opened.has(opening.flag)) opened.set(opening.flag, opening);
    if (!placed.has(opening.flag)) return found(opening);
    lasts(opening);
    return [];
  };

  /** A further signal of a flag under a group that is still the feeder's newest. */
  const lasts = ({ flag, atMs }: Opened): void => {
    const above = under.get(flag);
    const state = above === undefined ? undefined : states.get(above.feeder);
    if (above === undefined || state?.group?.flag !== above.flag) return;
    states.set(above.feeder, goesOn(state, atMs));
  };

  /** What the journal says already stands, whatever we would find now. */
  const learn = ({ flag, feeder, child, atMs }: CommonCause): void => {
    placed.add(child);
    under.set(child, { feeder, flag });
    const state = states.get(feeder) ?? noCommon;
    const same = state.group?.flag === flag ? state.group : null;
    const group = {
      flag,
      firstMs: Math.min(same?.firstMs ?? atMs, atMs),
      lastMs: Math.max(same?.lastMs ?? atMs, atMs),
    };
    states.set(feeder, { loose: state.loose.filter((one) => one.flag !== child), group });
  };

  const found = (opening: Opened): readonly CommonCause[] => {
    for (const feeder of feeders) {
      if (!feeder.explains(opening)) continue;
      const next = commonCause(states.get(feeder.id) ?? noCommon, reachOf(opening, feeder), feeder);
      states.set(feeder.id, next.state);
      const { flag } = next;
      if (flag === null) continue;
      const { id, name, of, doFirst, stations } = feeder;
      return next.joined.flatMap((one) => {
        const child = opened.get(one.flag)!;
        if (placed.has(child.flag)) return [];
        placed.add(child.flag);
        under.set(child.flag, { feeder: id, flag });
        const { station, atMs, label, late } = child;
        return [
          {
            flag,
            feeder: id,
            name,
            feeds: stations.length,
            of,
            doFirst,
            child: child.flag,
            station,
            atMs,
            label,
            foundMs: 0,
            late,
            ...(station === feeder.own ? { own: true } : {}),
          },
        ];
      });
    }
    return [];
  };

  return {
    look: (nowMs) => {
      const last = journal.lastSeq();
      if (last === seq) return [];
      const entries = journal.read({ kinds: [...kinds], afterSeq: seq });
      seq = last;
      // First all that is decided already, so that a start finds nothing anew.
      for (const entry of entries) if (entry.kind === "common") placed.add(entry.body.child);
      return entries.flatMap(take).map((common) => commonEntry({ ...common, foundMs: nowMs }));
    },
  };
}

/** A run at the feeder's own station may be an hour: what it tells of lay somewhere inside. */
function reachOf(opening: Opened, { own }: Feeder): Opening {
  const { flag, station, atMs, everyMs } = opening;
  return { flag, station, atMs, ...(station === own && everyMs !== null ? { sinceMs: atMs - everyMs } : {}) };
}

function openedBy(entry: StoredEntry, site: Site): Opened | null {
  if (entry.kind === "signal") {
    const { signal, late } = entry.body;
    const { flag, station, atMs, label } = signal;
    return { flag, station, atMs, label, late, ...chartedOf(site, station, signal.characteristic) };
  }
  if (entry.kind === "instrument" && entry.body.state === "began") {
    const { flag, station, sinceMs: atMs, late } = entry.body;
    return { flag, station, atMs, label: "instrument-fault", late, ...ofInstrument };
  }
  // A whole source that is silent is one flag already.
  if (entry.kind === "silence" && !entry.body.wholeSource) {
    const { flag, station, sinceMs: atMs } = entry.body;
    return { flag, station, atMs, label: "instrument-fault", late: false, ...ofInstrument };
  }
  return null;
}

const ofInstrument = { quantity: null, everyMs: null } as const;

function chartedOf(site: Site, station: string, characteristic: string): Pick<Opened, "quantity" | "everyMs"> {
  const [, feature, part = null] = characteristic.split(":");
  const plans = site.stations.find(({ id }) => id === station)?.plans ?? [];
  const charted = plans.find((plan) => plan.feature === feature)?.characteristic(part);
  return { quantity: charted?.quantity ?? "", everyMs: charted?.everyMs ?? null };
}

/** Supplies before gateways: they say more. A gateway explains what its instruments lack, never a process. */
function feedersOf(site: Site): readonly Named[] {
  const supplies = site.supplies.map((supply): Named => {
    const { id, name, feeds: of, doFirst, quantities, measuredAt: own = null } = supply;
    const stations = site.stations.filter(({ fedBy }) => fedBy.includes(id)).map((one) => one.id);
    return {
      ...{ id, name, of, doFirst, stations, own },
      explains: ({ station, quantity }) =>
        (stations.includes(station) || station === own) &&
        (quantities === undefined || (quantity !== null && quantities.includes(quantity))),
    };
  });
  const gateways = site.sources.map(({ id }): Named => {
    const stations = site.stations.filter(({ source }) => source === id).map((one) => one.id);
    return {
      ...{ id, name: `gateway ${id}`, of: "stations", stations, own: null },
      doFirst: "Check the gateway's power and network before any instrument behind it",
      explains: ({ station, quantity }) => quantity === null && stations.includes(station),
    };
  });
  return [...supplies, ...gateways];
}
