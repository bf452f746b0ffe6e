import type { Site } from "../../collector/platform/settings/site.ts";
import { type BesideStation, besideWords } from "../../spc/flags/beside.ts";
import type { FlagState } from "../../spc/flags/flag.ts";
import type { ChartedSet } from "./charted.ts";

/** Runs of other stations that ended so long before a flag began still speak of the same time. */
const aroundMs = 300_000;

/** Of an open flag on a chart: what the stations that share a supply with it show of the same feature. */
export function besideOf(site: Site, set: ChartedSet): (flag: FlagState) => string | undefined {
  return (flag) => {
    const own = flag.characteristic === null ? undefined : set.all.get(flag.characteristic)?.characteristic;
    if (own === undefined || flag.state === "done") return undefined;
    const supply = site.supplies.find(
      ({ id, quantities }) =>
        site.stations.some((one) => one.id === own.station && one.fedBy.includes(id)) &&
        (quantities === undefined || quantities.includes(own.quantity)),
    );
    if (supply === undefined) return undefined;
    const others = site.stations.filter(({ id, fedBy }) => id !== own.station && fedBy.includes(supply.id));
    if (others.length < 2) return undefined;
    const fromMs = flag.first.atMs - aroundMs;
    const shown = others.map(({ id: station }): BesideStation => {
      const points = [...set.all.values()]
        .filter(({ characteristic }) => characteristic.station === station && characteristic.feature === own.feature)
        .flatMap(({ recent }) => recent.filter(({ atMs, location }) => atMs >= fromMs && location.value !== null));
      if (points.length === 0) return { station, shows: "nothing-yet" };
      const out = points.some(
        ({ signals, location }) => signals.length > 0 || !["within", "not-evaluable"].includes(location.verdict),
      );
      return { station, shows: out ? "out" : "within" };
    });
    return besideWords(own.station, { name: supply.name, of: supply.feeds }, shown);
  };
}
