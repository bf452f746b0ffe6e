import { readFileSync } from "node:fs";
import type { Bus } from "../collector/platform/bus.ts";
import type { Clock } from "../collector/platform/clock.ts";
import type { Environment } from "../collector/platform/environment.ts";
import type { Log } from "../collector/platform/log.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import {
  type Collector,
  type CollectorParts,
  type CollectorView,
  type Lease,
  openSiteData,
  readingsOfLine,
  siteLinkedCollector,
  siteSource,
  startCollector,
  takeLines,
} from "../collector/start.ts";
import { openReadingFolder, type ReadingFolder } from "../collector/store/embedded/open-data-folder.ts";
import { centralCollector, readingsOfLines } from "./central/central-collector.ts";
import { centralSite, linesIn } from "./central/central-site.ts";
import { usualFile } from "./read-settings.ts";

interface Parts {
  readonly environment: Environment;
  readonly site: Site;
  readonly log: Log;
  readonly bus: Bus;
  readonly clock: Clock;
  readonly longTerm: NonNullable<CollectorParts["longTerm"]> | null;
  readonly lease: Lease | null;
}

/** What is on disk, open, and the collector over it, to be started; whoever opened it closes it. */
interface Opened<View extends CollectorView> {
  readonly data: ReadingFolder;
  readonly site: Site;
  start(): Promise<View & Pick<Collector, "ended" | "stop">>;
}

/** A collector in this process. */
export function collectorHere(parts: Parts): Opened<Collector> {
  const { environment, site, longTerm, lease } = parts;
  const fence = lease === null ? {} : { fence: lease };
  const data = openSiteData(environment.dataFolder, site, { holdForLongTerm: longTerm !== null, ...fence });
  return {
    ...{ data, site },
    start: () => startCollector({ ...parts, data, source: siteSource({ ...parts, data }), copy: copyOf(environment) }),
  };
}

function copyOf({ journalCopy, config }: Environment): NonNullable<CollectorParts["copy"]> | null {
  return journalCopy === null ? null : { folder: journalCopy, settings: readFileSync(config ?? usualFile) };
}

/** A collector in another process of this host, which may come and go. */
function collectorElsewhere(parts: Parts): Opened<CollectorView> {
  const data = openReadingFolder(parts.environment.dataFolder);
  return {
    ...{ data, site: parts.site },
    // It has no pipeline that could meet a defect, so it ends only when it is told to.
    start: () =>
      Promise.resolve({ ...siteLinkedCollector({ ...parts, samples: data.samples }), ended: new Promise(() => {}) }),
  };
}

/** The lines whose copies lie in a folder; their readings come from the long-term store, where there is one. */
function linesElsewhere(parts: Parts, folder: string): Opened<CollectorView> {
  const { environment, site, longTerm, clock } = parts;
  const found = linesIn(folder);
  const { lines } = found;
  for (const { id, words } of found.unread) {
    parts.log.error({ line: id, words }, "the settings of a line cannot be read; it is not shown");
  }
  const data = openReadingFolder(environment.dataFolder);
  const far: { close(): void }[] = [];
  const readings = readingsOfLines(lines, (line) => {
    if (longTerm === null) return null;
    const port = readingsOfLine(longTerm, line.site);
    far.push(port);
    return port;
  });
  return {
    data,
    site: centralSite(site, lines),
    start: () => {
      const stationsOf = new Map(lines.map((line) => [line.id, new Set(line.site.stations.map(({ id }) => id))]));
      const taking = takeLines({
        ...{ lines, journal: data.journal, clock, bus: parts.bus, log: parts.log },
        stationsOf: (line) => stationsOf.get(line) ?? new Set(),
      });
      const stopping = new AbortController();
      const ended = taking.run(stopping.signal);
      const stop = async (): Promise<void> => {
        stopping.abort();
        await ended;
        for (const port of far) port.close();
      };
      return Promise.resolve({ ...centralCollector(found, taking.states, readings, clock), ended, stop });
    },
  };
}

/** What the environment says: lines of others, or our own, in this process or in another one. */
export function collectorOf(parts: Parts): Opened<CollectorView> {
  const { lines, roles } = parts.environment;
  if (lines !== null) return linesElsewhere(parts, lines);
  return roles.collector ? collectorHere(parts) : collectorElsewhere(parts);
}
