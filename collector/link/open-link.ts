import type { BrokerAccess } from "../platform/broker-access.ts";
import { linkKeyOf } from "../platform/link-key.ts";
import type { Log } from "../platform/log.ts";
import { productVersion } from "../platform/product-version.ts";
import { linkLine } from "../source/link-line.ts";
import { type LinkMessage, linkTopic, opened, type Side, sealed } from "./link-messages.ts";

export interface Link {
  say(message: LinkMessage): void;
  close(): Promise<void>;
}

export interface LinkParts {
  /** How the broker is reached, for a connection of this side's own. */
  readonly access: BrokerAccess;
  /** As `siteTag` makes it of the site's name. */
  readonly site: string;
  readonly folder: string;
  readonly log: Log;
}

/** Speaks as one side, and hears the other. */
export function openLink(side: Side, parts: LinkParts, hear: (message: LinkMessage) => void): Link {
  const { site, log } = parts;
  const key = linkKeyOf(parts.folder);
  const version = productVersion();
  const [own, other] = [linkTopic(site, side), linkTopic(site, side === "api" ? "collector" : "api")];
  let toldVersion = "";
  const take = (bytes: Uint8Array): void => {
    const message = opened(key, version, other, bytes);
    if (message === null) return;
    if (message.kind !== "other-version") {
      hear(message);
      return;
    }
    if (message.version !== toldVersion) {
      log.error({ ours: version, theirs: message.version }, "collector and api are of two versions: start both anew");
    }
    toldVersion = message.version;
  };
  const line = linkLine(parts.access, { topic: other, hear: take }, log);
  return {
    say: (message) => line.send(own, sealed(key, version, own, message)),
    close: line.close,
  };
}
