import { pino } from "pino";
import { messageRouter } from "../../../collector/notify/message-router.ts";
import { type PostPush, postPush } from "../../../collector/notify/push/post-push.ts";
import { newVapidKey, readVapidKey, vapidSigner } from "../../../collector/notify/push/vapid.ts";
import { type Sender, sender } from "../../../collector/notify/sender.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { openSiteData } from "../../../collector/start.ts";
import type { DataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { limitsEntry, signalEntry } from "../../../collector/store/entries.ts";
import type { Delivery } from "../../../collector/store/message-book.ts";
import type { Message } from "../../../spc/model/message.ts";
import type { Signal } from "../../../spc/model/signal.ts";
import { siteOf } from "../../demo-site.ts";
import { eventually } from "../../eventually.ts";
import { type ManualClock, manualClock } from "../../fakes/manual-clock.ts";
import { pressLimits } from "../../press-limits.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { siteText } from "../../unit/platform/settings/site-text.ts";
import type { Phone, PushService } from "./push-service.ts";
import type { ThrowAwayAuthority } from "./throw-away-authority.ts";

/** The lead always gets messages, so that no test depends on when it runs. */
const lead = "{ id: lead, name: Early lead, labels: [act-now, look] }";
export const night = '{ id: night, name: Night lead, labels: [act-now], hours: "22:00-06:00" }';

function siteWith(more: readonly string[]): Site {
  const persons = ["persons:", ...[lead, ...more].map((one) => `  - ${one}`), ""].join("\n");
  return siteOf(`${siteText}${persons}messages: { contact: "mailto:process@ostrimvale.example" }\n`);
}

/** Router, journal, book and sender as the product puts them together, over a real data folder, on a clock of the test's. */
export interface MessageRig {
  readonly clock: ManualClock;
  readonly data: DataFolder;
  readonly publicKey: string;
  /** Signals found now, and what follows from them, in one transaction. */
  find(...signals: readonly Signal[]): void;
  /** Lets time go by, and looks once whether something is due. */
  wait(ms: number): void;
  /** `find`, with something that happens before the transaction ends. */
  findDuring(during: (() => void) | null, ...signals: readonly Signal[]): void;
  /** Sets up a phone of the lead's, unless told whose. */
  setUp(service: PushService, person?: string): Phone & { readonly id: string };
  messages(): readonly Message[];
  deliveries(): readonly Delivery[];
  /** Starts the sender. */
  start(): Sender;
  /** Lets time go by in steps until it holds. */
  until(what: string, holds: () => boolean, stepMs?: number): Promise<void>;
  readonly log: string[];
  close(): Promise<void>;
}

export interface Options {
  readonly startMs?: number;
  /** Further persons. */
  readonly more?: readonly string[];
}

export function messageRig(service: PushService, authority: ThrowAwayAuthority, options: Options = {}): MessageRig {
  const { startMs = Date.now(), more = [] } = options;
  const site = siteWith(more);
  const folder = temporaryFolder();
  const data = openSiteData(folder.path, site);
  const clock = manualClock(startMs);
  const bus = memoryBus();
  const key = readVapidKey(newVapidKey());
  const log: string[] = [];
  const stopping = new AbortController();
  let running: Promise<void> = Promise.resolve();
  let phones = 0;
  data.journal.append([limitsEntry("PR-01", pressLimits("PR-01:mold.plateau"))]);
  const post: PostPush = postPush([service.host], authority.authority);
  const rig: MessageRig = {
    ...{ clock, data, log, publicKey: key.publicKey },
    find: (...signals) => rig.findDuring(null, ...signals),
    findDuring: (during, ...signals) => {
      data.journal.transaction(() => {
        // Made anew each time: what was told must follow from the journal alone.
        const router = messageRouter(site, data.journal);
        const fresh = data.journal.append(signals.map((one) => signalEntry(one, clock.nowMs())));
        router.route(fresh, clock.nowMs());
        during?.();
      });
      bus.announce("journal");
    },
    wait: (ms) => {
      clock.advance(ms);
      data.journal.transaction(() => messageRouter(site, data.journal).release(clock.nowMs()));
      bus.announce("journal");
    },
    setUp: (at, person = "lead") => {
      const phone = at.subscribe(key.publicKey);
      const { endpoint, keys } = phone.subscription;
      phones += 1;
      const id = `phone-${phones}`;
      const address = { endpoint, ...keys };
      data.messages.addDevice({ id, person, name: "Phone", secret: `s${id}`, address, addedMs: clock.nowMs() });
      return { ...phone, id };
    },
    messages: () =>
      data.journal.read({ kinds: ["message"] }).flatMap((one) => (one.kind === "message" ? [one.body] : [])),
    deliveries: () => data.messages.ofMessages(rig.messages().map(({ id }) => id)),
    start: () => {
      const made = sender({
        ...{ journal: data.journal, book: data.messages, post, clock, bus, random: () => 0 },
        signer: vapidSigner(key, "mailto:process@ostrimvale.example"),
        log: pino({}, { write: (text) => void log.push(text) }),
      });
      running = made.run(stopping.signal);
      return made;
    },
    until: async (what, holds, stepMs = 0) => {
      await eventually(
        what,
        () => {
          clock.advance(stepMs);
          return holds();
        },
        60_000,
        20,
      );
    },
    close: async () => {
      stopping.abort();
      await running;
      data.close();
      folder.remove();
    },
  };
  return rig;
}

/** A plateau below its specification, in a flag of its own unless told. */
export function low(atMs: number, change: Partial<Signal> = {}): Signal {
  const run = change.run ?? `PR-01:${atMs}`;
  return {
    ...{ id: `PR-01:mold.plateau/${run}/specification/outside-specification/below` },
    ...{ characteristic: "PR-01:mold.plateau", station: "PR-01", run, rule: "outside-specification", side: "below" },
    ...{ on: "specification", limitSet: null, members: [run], value: 0.8, line: 0.82, z: null, atMs },
    ...{
      flag: `PR-01:mold.plateau:${run}`,
      label: "act-now",
      doFirst: "Hold shots, look at the valve.",
      says: "too low",
    },
    ...change,
  };
}
