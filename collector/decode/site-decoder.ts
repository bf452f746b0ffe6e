import type { Site } from "../platform/settings/site.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";
import { seriesCatalogue } from "./catalogue.ts";
import type { MessageDecoder, SeriesCatalogue } from "./decoder.ts";
import { mappedJson } from "./mapped-json.ts";
import { opcuaJson } from "./opcua-json.ts";
import { payloadV1 } from "./payload-v1.ts";
import { senml } from "./senml.ts";
import { sparkplugB } from "./sparkplug-b.ts";
import { topicSources } from "./topic-sources.ts";

/**
 * Decodes each message in the format of the source whose topic it came under; a topic that none has is read as our own
 * JSON, which says so. A site with no other format pays nothing for this.
 */
export function siteDecoder(site: Site, { snapshotEveryMs }: { readonly snapshotEveryMs: number }): MessageDecoder {
  const catalogue = seriesCatalogue(site);
  const own = site.sources.filter(({ format }) => format === "json-v1");
  const json = payloadV1({ catalogue, sourcesOf: topicSources(own), snapshotEveryMs });
  const foreign = site.sources.filter(({ format }) => format !== "json-v1");
  if (foreign.length === 0) return json;
  const decoders = new Map(foreign.map((source) => [source.id, foreignDecoder(source, catalogue, site)]));
  const sourcesOf = topicSources(foreign);
  return {
    format: "by-topic",
    decode: (raw) => {
      // The settings were checked: no two of them take one topic.
      const [source] = sourcesOf(raw.topic);
      return ((source === undefined ? undefined : decoders.get(source)) ?? json).decode(raw);
    },
  };
}

function foreignDecoder(source: SourceSettings, catalogue: SeriesCatalogue, { shiftClock }: Site): MessageDecoder {
  switch (source.format) {
    case "senml":
      return senml(source, catalogue);
    case "sparkplug-b":
      return sparkplugB(source, catalogue);
    case "opcua-json":
      return opcuaJson(source, catalogue);
    case "mapped-json":
      return mappedJson(source, catalogue, shiftClock.offsets);
    case "json-v1":
      throw new RangeError("our own JSON is decoded for all its sources together");
  }
}
