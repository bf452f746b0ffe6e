import { Fault } from "../../collector/platform/fault.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { openSiteData } from "../../collector/start.ts";
import { postReadings } from "./import-post.ts";
import { noneTakenIn, type SourceSamples, type TakenIn, together } from "./taken-in.ts";

/** Where an import goes: a data folder that no product holds, or a product that runs. */
export interface ImportTarget {
  /** Resolves when all of it is on disk. */
  write(groups: readonly SourceSamples[]): Promise<TakenIn>;
  close(): void;
}

/** The folder itself, as its only writer; a Fault where the product holds it. */
export function intoFolder(folder: string, site: Site, file: string): ImportTarget {
  const data = opened(folder, site);
  return {
    write: (groups) => {
      const before = data.samples.counts();
      data.samples.commit(
        groups.map(({ source, samples }) => ({
          ...{ topic: `import ${file}`, payload: new Uint8Array(0), receivedMs: 0, qos: 0 as const },
          ...{ source, sequence: null, samples, snapshots: [], rejections: [] },
          ...{ items: samples.length, samplesPerItem: 1 },
        })),
      );
      const after = data.samples.counts();
      return Promise.resolve({
        stored: after.stored - before.stored,
        duplicate: after.duplicate - before.duplicate,
        late: after.late - before.late,
      });
    },
    close: data.close,
  };
}

/** A running product, by `POST /api/readings`. */
export function intoProduct(url: URL, site: Site, token: string | null): ImportTarget {
  const send = postReadings(url, site, token);
  return {
    write: async (groups) => {
      let sum = noneTakenIn;
      for (const group of groups) sum = together(sum, await send(group));
      return sum;
    },
    close: () => {},
  };
}

function opened(folder: string, site: Site): ReturnType<typeof openSiteData> {
  try {
    return openSiteData(folder, site);
  } catch (error) {
    if (!(error instanceof Fault) || error.code !== "data-folder-in-use") throw error;
    throw new Fault(
      "data-folder-in-use",
      `the product runs on ${folder}: hand the readings to it with --to and its address, such as --to http://127.0.0.1:8080`,
      { retryable: false, cause: error },
    );
  }
}
