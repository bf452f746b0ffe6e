import { readFileSync } from "node:fs";
import { parse, stringify } from "yaml";

interface Station {
  readonly id: string;
  readonly kind: string;
  readonly line: string;
  readonly source: string;
  readonly fedBy?: readonly string[];
  readonly borrows?: Readonly<Record<string, string | { readonly from: Readonly<Record<string, string>> }>>;
}

interface Settings {
  readonly site: { readonly name: string };
  readonly stations: readonly Station[];
  readonly stationKinds: Readonly<Record<string, unknown>>;
  readonly lines: readonly { readonly id: string }[];
  readonly sources: readonly { readonly id: string }[];
  readonly supplies?: readonly { readonly id: string; readonly measuredAt?: string }[];
}

/**
 * The demo's settings with these stations alone, and those whose series they borrow: where a test needs no more of the
 * plant, a product reads so little in a fraction of the time.
 */
export function partOfDemo(...ids: readonly string[]): string {
  const demo = parse(readFileSync("simulator/ostrimvale.yaml", "utf8")) as Settings;
  const needed = new Set(ids);
  for (const id of needed)
    for (const lender of lendersOf(demo.stations.find((one) => one.id === id))) needed.add(lender);
  const stations = demo.stations.filter(({ id }) => needed.has(id));
  const having = <T>(of: (station: Station) => readonly T[]): ReadonlySet<T> => new Set(stations.flatMap(of));
  const [kinds, lines, sources] = [
    having((one) => [one.kind]),
    having((one) => [one.line]),
    having((one) => [one.source]),
  ];
  const fed = having(({ fedBy = [] }) => fedBy);
  return stringify({
    ...demo,
    stations,
    lines: demo.lines.filter(({ id }) => lines.has(id)),
    sources: demo.sources.filter(({ id }) => sources.has(id)),
    supplies: (demo.supplies ?? [])
      .filter(({ id }) => fed.has(id))
      .map(({ measuredAt, ...supply }) =>
        measuredAt !== undefined && needed.has(measuredAt) ? { ...supply, measuredAt } : supply,
      ),
    stationKinds: Object.fromEntries(Object.entries(demo.stationKinds).filter(([name]) => kinds.has(name))),
  });
}

/** Of `STATION/role`, said outright or by a word of the run's context. */
function lendersOf(station: Station | undefined): readonly string[] {
  if (station === undefined) throw new Error("the demo has no such station");
  const borrowed = Object.values(station.borrows ?? {});
  return borrowed
    .flatMap((one) => (typeof one === "string" ? [one] : Object.values(one.from)))
    .map((series) => series.split("/")[0]!);
}
