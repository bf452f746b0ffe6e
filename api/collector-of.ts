import type { Bus } from "../collector/platform/bus.ts";
import type { Clock } from "../collector/platform/clock.ts";
import type { Environment } from "../collector/platform/environment.ts";
import type { Log } from "../collector/platform/log.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import {
  type Collector,
  type CollectorParts,
  type CollectorView,
  openSiteData,
  siteLinkedCollector,
  siteSource,
  startCollector,
} from "../collector/start.ts";
import { openReadingFolder, type ReadingFolder } from "../collector/store/embedded/open-data-folder.ts";

interface Parts {
  readonly environment: Environment;
  readonly site: Site;
  readonly log: Log;
  readonly bus: Bus;
  readonly clock: Clock;
  readonly longTerm: NonNullable<CollectorParts["longTerm"]> | null;
}

/** What is on disk, open, and the collector over it, to be started; whoever opened it closes it. */
interface Opened<View extends CollectorView> {
  readonly data: ReadingFolder;
  start(): Promise<View & Pick<Collector, "ended" | "stop">>;
}

/** A collector in this process. */
export function collectorHere(parts: Parts): Opened<Collector> {
  const { environment, site, longTerm } = parts;
  const data = openSiteData(environment.dataFolder, site, { holdForLongTerm: longTerm !== null });
  return {
    data,
    start: () => startCollector({ ...parts, data, source: siteSource({ ...parts, data }) }),
  };
}

/** A collector in another process of this host, which may come and go. */
export function collectorElsewhere(parts: Parts): Opened<CollectorView> {
  const data = openReadingFolder(parts.environment.dataFolder);
  return {
    data,
    // It has no pipeline that could meet a defect, so it ends only when it is told to.
    start: () =>
      Promise.resolve({ ...siteLinkedCollector({ ...parts, samples: data.samples }), ended: new Promise(() => {}) }),
  };
}
