import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { WireMessageSetUp, WireSubscribed } from "../../../api/contract/message-wire.ts";
import type { WireFlag, WireFloor, WirePair } from "../../../api/contract/wire.ts";
import { pourAt } from "../../e2e/bench-plant.ts";
import { openGateway } from "../../e2e/gateway.ts";
import { eventually } from "../../eventually.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { mosquitto } from "../mosquitto.ts";
import { messageSettings, pin } from "../notify/message-settings.ts";
import { type PushService, pushService } from "../notify/push-service.ts";
import { throwAwayAuthority } from "../notify/throw-away-authority.ts";
import { type PairSite, pairSite } from "./pair-site.ts";

const readingsOfAPour = 43;

async function story(site: PairSite, url: string, service: PushService): Promise<void> {
  const { publicKey } = await site.ask<WireMessageSetUp>("/api/messages/set-up");
  const phone = service.subscribe(publicKey ?? "");
  const set = { by: "lead", pin, name: "Phone", subscription: phone.subscription };
  await site.ask<WireSubscribed>("/api/subscriptions", set);
  const gateway = openGateway(url, "GW-PO");
  const beganMs = Date.now() - 120_000;
  /** A pour, and what shows some seconds later that it is complete. */
  const pour = async (place: number, celsius: number): Promise<void> => {
    const startMs = beganMs + place * 30_000;
    await pourAt(gateway, startMs, celsius);
    await gateway.event("PO-A/pour", startMs + 15_000, 0, { part: "OFW-2107" });
  };
  const counts = (): Promise<{ stored: number; pair: WirePair | null }> => site.ask("/api/counts");
  const stored = (pours: number): Promise<unknown> =>
    eventually("all readings are in", async () => (await counts()).stored === pours * readingsOfAPour);
  try {
    expect((await (await fetch(`${site.url}/readyz`)).json()).pair).toMatchObject({ active: "a", epoch: 1 });
    await eventually("one is seen to stand by", async () => (await counts()).pair?.standby);
    await pour(0, 750);
    await stored(1);

    // Both are alive: the first hangs, and what comes goes to the second.
    const held = site.takeOver("pause-between-writes");
    await pour(1, 700);
    await held;
    await stored(2);
    const tells = await eventually("the other one tells", async () => {
      const { pair } = await counts();
      return pair?.active === "b" && pair;
    });
    expect(tells).toMatchObject({ epoch: 2, standby: false });
    const metrics = await (await fetch(`${site.url}/metrics`)).text();
    expect(metrics).toContain('steadypour_collector_epoch{active="b"} 2');
    expect(metrics).toContain('steadypour_collector_standby{active="b"} 0');
    const first = site.running("a");
    first.signal("SIGCONT");
    expect(await first.exit()).toBe(3);
    expect(first.said()).toContain("another collector took the line over");
    site.begin("a");
    await site.standsBy("a");

    const flag = await eventually("the cold pour is a flag", async () => {
      const { items } = await site.ask<{ items: readonly WireFlag[] }>("/api/flags?state=open");
      return items.find(({ station, label }) => station === "PO-A" && label === "act-now");
    });
    const told = (): readonly string[] =>
      service.requests
        .filter(({ status }) => status === 201)
        .map((push) => String(phone.read(push).notification.data.flag));
    await eventually("it is told", () => told().includes(flag.id));

    await site.takeOver("kill");
    await pour(2, 750);
    await stored(3);
    expect(told().filter((id) => id === flag.id)).toHaveLength(1);
    const { door } = await site.ask<WireFloor>("/api/floor");
    expect(door.map(({ code }) => code)).not.toContain("collector-away");
    expect(site.running("a").said()).toMatch(/"from":"b","why":"gone"/);
  } finally {
    await gateway.close();
  }
}

test("a collector that hangs, and one that dies, is taken over from without a reading or message lost or doubled, and wakes to end", async () => {
  const folder = temporaryFolder();
  const authority = throwAwayAuthority();
  const [broker, service] = await Promise.all([mosquitto(), pushService(authority)]);
  const config = join(folder.path, "site.yaml");
  writeFileSync(config, await messageSettings(readFileSync("simulator/ostrimvale.yaml", "utf8"), service));
  const more = { STEADYPOUR_CONFIG: config, NODE_EXTRA_CA_CERTS: authority.file };
  const site = await pairSite(join(folder.path, "data"), broker.url, more);
  try {
    await story(site, broker.url, service);
  } finally {
    await site.stop();
    await Promise.all([broker.remove(), service.close()]);
    authority.remove();
    folder.remove();
  }
}, 600_000);
