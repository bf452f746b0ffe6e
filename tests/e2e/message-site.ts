import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { hashPin } from "../../api/people/pin.ts";
import { messageSettings } from "../contract/notify/message-settings.ts";
import type { PushService } from "../contract/notify/push-service.ts";
import type { ThrowAwayAuthority } from "../contract/notify/throw-away-authority.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { type RunningSite, startSite } from "./running-site.ts";

/** The demo's plant with one person who gets messages, one who gets none, and a push service inside the plant. */
export async function startMessageSite(service: PushService, authority: ThrowAwayAuthority): Promise<RunningSite> {
  const folder = temporaryFolder();
  const config = join(folder.path, "site.yaml");
  const demo = readFileSync("simulator/ostrimvale.yaml", "utf8");
  const nightLead = `{ id: night-lead, name: Night lead, role: shift-lead, pin: "${await hashPin("5555")}" }`;
  writeFileSync(config, await messageSettings(demo, service, [nightLead]));
  const site = await startSite(config, { NODE_EXTRA_CA_CERTS: authority.file });
  return {
    ...site,
    stop: async () => {
      await site.stop();
      folder.remove();
    },
  };
}
