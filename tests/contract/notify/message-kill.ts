import type { WireMessage, WireMessageSetUp, WireSubscribed } from "../../../api/contract/message-wire.ts";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { openGateway } from "../../e2e/gateway.ts";
import { startMessageSite } from "../../e2e/message-site.ts";
import { eventually } from "../../eventually.ts";
import { pin } from "./message-settings.ts";
import { type Phone, pushService } from "./push-service.ts";
import { throwAwayAuthority } from "./throw-away-authority.ts";

/** A dead process's last bytes on loopback, and the push service that reads them on this thread. */
const settleMs = 250;

/**
 * Kills the real product (`kill -9`) again and again between a flag and its message, and gives every way in which it did
 * not hold: none, when each flag's message left, and none left twice but where the product died before it could hear
 * that it was accepted, in which case the service holds one of the two.
 */
export async function messageKillCheck(
  kills: number,
): Promise<{ readonly said: string; readonly complaints: string[] }> {
  const authority = throwAwayAuthority();
  const service = await pushService(authority);
  const site = await startMessageSite(service, authority);
  const gateway = openGateway(site.mqttUrl, "GW-PO");
  const complaints: string[] = [];
  const moments = { beforeSending: 0, underWay: 0, accepted: 0, known: 0 };
  try {
    const { publicKey } = await site.ask<WireMessageSetUp>("/api/messages/set-up");
    const phone = service.subscribe(publicKey ?? "");
    const body = { by: "lead", pin, name: "Phone", subscription: phone.subscription };
    await site.ask<WireSubscribed>("/api/subscriptions", body);
    // An answer that takes its time: so that some kills fall between sending and hearing.
    service.delayMs = 60;
    const told: string[] = [];
    /** Known to be accepted before the kill: these must not leave again. */
    const settled = new Set<string>();
    const stateOf = async (flag: string): Promise<string | undefined> => {
      const { items } = await site.ask<{ items: WireMessage[] }>(`/api/messages?flag=${encodeURIComponent(flag)}`);
      return items[0]?.deliveries[0]?.state;
    };
    for (let n = 0; n < kills; n += 1) {
      const asked = service.requests.length;
      await gateway.pour("OFW-2107", 700);
      const flag = await eventually(
        "a flag is open",
        async () => {
          const { items } = await site.ask<{ items: WireFlag[] }>("/api/flags?state=open");
          return items.find(({ label }) => label === "act-now");
        },
        60_000,
        2,
      );
      // From at once to when all is over; each fifth time only when it is written down that the service has it.
      const known = n % 5 === 4 || n === kills - 1;
      if (known) await eventually("it is known", async () => (await stateOf(flag.id)) === "accepted", 60_000, 5);
      else await new Promise((resolve) => setTimeout(resolve, (n % 5) * 40 * Math.random()));
      const accepted = service.requests.length > asked && phoneHas(phone, flag.id);
      await site.kill();
      // What left in the instant between looking and dying still arrives: counted once nothing is on its way.
      await new Promise((resolve) => setTimeout(resolve, settleMs));
      if (known) moments.known += 1;
      else if (accepted) moments.accepted += 1;
      else if (service.requests.length > asked) moments.underWay += 1;
      else moments.beforeSending += 1;
      await site.restart();
      const message = await eventually("its message is accepted", async () => {
        const { items } = await site.ask<{ items: WireMessage[] }>(`/api/messages?flag=${encodeURIComponent(flag.id)}`);
        return items.find(({ deliveries }) => deliveries[0]?.state === "accepted");
      }).catch(() => null);
      if (message === null || !phoneHas(phone, flag.id))
        complaints.push(`kill ${n + 1}: the message of ${flag.id} never left`);
      else {
        told.push(message.id);
        if (known) settled.add(message.id);
      }
      const { items } = await site.ask<{ items: WireMessage[] }>(`/api/messages?flag=${encodeURIComponent(flag.id)}`);
      if (items.length !== 1) complaints.push(`kill ${n + 1}: ${items.length} messages of ${flag.id}`);
      await site.ask(`/api/flags/${encodeURIComponent(flag.id)}/done`, {
        ...{ by: "lead", pin },
        cause: "ladle cold",
        note: "",
      });
    }
    const sent = service.requests.map((push) => phone.read(push).notification.data.message);
    for (const id of new Set(told)) {
      const times = sent.filter((one) => one === id).length;
      if (times > 1 && settled.has(id)) complaints.push(`${id} was sent again, though it was known to be accepted`);
      if (times > 2) complaints.push(`${id} was sent ${times} times for one kill`);
    }
    const twice = sent.length - new Set(sent).size;
    if (twice > moments.underWay + moments.accepted)
      complaints.push(`${twice} repeats, more than kills that could cause one`);
    if (phone.stored().length !== new Set(told).size) {
      complaints.push(`the service holds ${phone.stored().length} messages of ${new Set(told).size} flags`);
    }
    const said = `${kills} kills: ${JSON.stringify(moments)}; ${told.length} messages left, ${twice} of them sent again under the same topic`;
    return { said, complaints };
  } finally {
    await gateway.close();
    await site.stop();
    await service.close();
    authority.remove();
  }
}

function phoneHas(phone: Phone, flag: string): boolean {
  return phone.stored().some((push) => phone.read(push).notification.data.flag === flag);
}
