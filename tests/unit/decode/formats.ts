import { readFileSync } from "node:fs";
import type { Decoded, MessageDecoder } from "../../../collector/decode/decoder.ts";
import { siteDecoder } from "../../../collector/decode/site-decoder.ts";
import { loadSettings } from "../../../collector/platform/settings/load.ts";
import { mistakeLine } from "../../../collector/platform/settings/mistake.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import type { RawMessage } from "../../../collector/source/message-source.ts";
import { T0 } from "./decoding.ts";

/** The sources that DEVELOPERS.md shows as an example of each format. */
export const documentedSources = /^```yaml\n(sources:\n[\s\S]*?)^```$/m.exec(
  readFileSync("DEVELOPERS.md", "utf8"),
)![1]!;

/** The demo's settings with other sources. */
export function settingsWith(sources: string): string {
  const text = readFileSync("simulator/ostrimvale.yaml", "utf8");
  const ids = new Set([...sources.matchAll(/\bid: ([\w-]+)/g)].map(([, id]) => id));
  // Those that are not told anew stay: stations hang on them.
  return text.replace(/^sources:\n((?: {2}.*\n)+)/m, (_, before: string) => {
    const others = before.split("\n").filter((line) => !ids.has(/\bid: ([\w-]+)/.exec(line)?.[1] ?? ""));
    return sources + others.join("\n");
  });
}

/** The demo's plant with the sources given; gateways that are not among them go on in our own JSON. */
export function siteOf(sources: string = documentedSources): Site {
  const known = sites.get(sources) ?? loadSite(sources);
  sites.set(sources, known);
  return known;
}
const sites = new Map<string, Site>();

function loadSite(sources: string): Site {
  const demo = readFileSync("simulator/ostrimvale.yaml", "utf8");
  const gateways = [...demo.matchAll(/^ {2}- \{ id: (GW-[A-Z]+), topic/gm)].map(([, id]) => id as string);
  const missing = gateways.filter((id) => !sources.includes(`id: ${id}`));
  const rest = missing.map((id) => `  - { id: ${id}, topic: "json/${id}/#" }\n`).join("");
  const loaded = loadSettings(Buffer.from(settingsWith(sources + rest)));
  if (!loaded.ok) throw new Error(loaded.mistakes.map((one) => mistakeLine("settings", one)).join("\n"));
  return loaded.site;
}

export function decoderOf(sources: string = documentedSources): MessageDecoder {
  return siteDecoder(siteOf(sources), { snapshotEveryMs: 5_000 });
}

export function rawMessage(topic: string, payload: unknown, changes: Partial<RawMessage> = {}): RawMessage {
  const text = typeof payload === "string" ? payload : JSON.stringify(payload);
  const bytes = payload instanceof Uint8Array ? payload : new TextEncoder().encode(text);
  return { topic, payload: bytes, receivedMs: T0, retained: false, qos: 1, ...changes };
}

/** What was refused, as code and place. */
export function refused({ rejections }: Decoded): readonly (readonly [code: string, place: string])[] {
  return rejections.map(({ code, place }) => [code, place]);
}

/** What was taken, as series, time after T0, value and quality. */
export function taken({ samples }: Decoded): readonly (readonly [string, number, number | null, string])[] {
  return samples.map(({ series, tMs, value, quality }) => [series, tMs - T0, value, quality]);
}
