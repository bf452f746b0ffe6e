import type { Site } from "../platform/settings/site.ts";
import { seriesCatalogue } from "./catalogue.ts";
import type { MessageDecoder } from "./decoder.ts";
import { payloadV1 } from "./payload-v1.ts";

/** Our own JSON of any source of the site, whatever format that one's own messages have: no topic says whose it is. */
export function postedDecoder(site: Site, { snapshotEveryMs }: { readonly snapshotEveryMs: number }): MessageDecoder {
  const ids = site.sources.map(({ id }) => id);
  return payloadV1({ catalogue: seriesCatalogue(site), sourcesOf: () => ids, snapshotEveryMs });
}
