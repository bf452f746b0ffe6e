import type { Options } from "./arguments.ts";
import { type Arriving, disturbed, type Messages } from "./disturbances.ts";
import type { Fault } from "./faults.ts";
import { occasionalFaults } from "./occasional-faults.ts";
import { type Pace, pace } from "./pace.ts";
import { pause } from "./pause.ts";
import { plant } from "./plant.ts";
import { type Source, sources } from "./plant-layout.ts";
import { type Progress, type Reached, readProgress, writeProgress } from "./progress.ts";
import type { Publisher } from "./publisher.ts";
import { type TruthFile, truthFile } from "./truth.ts";

const dayMs = 86_400_000;
/** Occasional faults are laid out this far ahead: longer than a demo runs. */
const aheadMs = 400 * dayMs;
const rememberEveryMs = 500;

export interface Sent {
  readonly messages: number;
  readonly items: number;
  readonly acknowledged: boolean;
}

/** One gateway: how far it has been sent, and how far everything before is acknowledged. */
interface Gateway {
  readonly source: Source;
  reachedMs: number;
  seq: number;
  acknowledged: Reached;
  /** Windows with messages still on the way, in order. */
  readonly underway: { readonly reached: Reached; open: number }[];
}

/** Sends the plant's readings, each gateway's in time order, until the end or until told to stop. */
export async function sendPlant(options: Options, publisher: Publisher, stop: AbortSignal): Promise<Sent> {
  const { key, speed, fromMs, toMs, progress: file } = options;
  const startedMs = Date.now();
  const faults = faultsOf(options, startedMs);
  const whole = plant(key, faults, options.withoutHand);
  const faulty = faults.some(({ name }) => name === "outage" || name === "clock-skew");
  const undisturbed = !options.disturb && !faulty;
  const messages = undisturbed ? whole.messages : disturbed(key, whole.model.faults, options.disturb, whole.messages);
  const truth = options.truth === null ? null : truthFile(options.truth, key, faults, whole.model, fromMs);
  const from = readProgress(file, fromMs, startedMs, dayMs);
  const gateways = sources.map((source): Gateway => {
    const { untilMs, seq } = from[source];
    return { source, reachedMs: untilMs, seq, acknowledged: from[source], underway: [] };
  });
  const keep = remember(file, gateways);
  const timer = setInterval(keep, rememberEveryMs);
  const counts = { messages: 0, items: 0 };
  try {
    await sendAll({ messages, truth }, gateways, pace(speed, fromMs, toMs, startedMs), toMs, publisher, stop, counts);
    let acknowledged = false;
    while (!acknowledged && !stop.aborted) acknowledged = await publisher.drained(1000);
    if (!acknowledged) acknowledged = await publisher.drained(2000);
    return { ...counts, acknowledged };
  } finally {
    clearInterval(timer);
    keep();
    truth?.finish(Math.min(...gateways.map(({ reachedMs }) => reachedMs)));
  }
}

/** All that goes wrong: what was told, and what comes of itself. */
export function faultsOf({ key, faults, occasional }: Options, startedMs: number): Fault[] {
  return [...faults, ...(occasional ? occasionalFaults(key, key.firstMs + dayMs, startedMs + aheadMs) : [])];
}

interface Sending {
  readonly messages: Messages;
  readonly truth: TruthFile | null;
}

async function sendAll(
  { messages: made, truth }: Sending,
  gateways: readonly Gateway[],
  clock: Pace,
  toMs: number,
  publisher: Publisher,
  stop: AbortSignal,
  counts: { messages: number; items: number },
): Promise<void> {
  while (!stop.aborted) {
    // The gateway that is furthest behind goes first, so all of them come through the past together.
    const gateway = gateways.reduce((a, b) => (b.reachedMs < a.reachedMs ? b : a));
    truth?.reached(gateway.reachedMs);
    if (gateway.reachedMs >= toMs) return;
    const next = clock.next(gateway.reachedMs, Date.now());
    if (next.kind === "wait") {
      await pause(next.ms, stop);
      continue;
    }
    const messages = made(gateway.source, gateway.reachedMs, next.toMs);
    gateway.reachedMs = next.toMs;
    const window = {
      reached: { untilMs: next.toMs, seq: gateway.seq + messages.length },
      open: messages.filter(({ lost }) => lost !== true).length,
    };
    gateway.underway.push(window);
    settle(gateway);
    for (const message of messages) {
      if (message.lost === true) {
        gateway.seq += 1;
        continue;
      }
      counts.messages += 1;
      counts.items += message.items;
      await publisher.send(topicOf(gateway.source, message), payloadOf(gateway.source, gateway.seq, message), () => {
        window.open -= 1;
        settle(gateway);
      });
      gateway.seq += 1;
      if (stop.aborted) return;
    }
  }
}

/** A window counts as acknowledged when it and all before it are. */
function settle(gateway: Gateway): void {
  while (gateway.underway[0]?.open === 0) {
    gateway.acknowledged = (gateway.underway.shift() as Gateway["underway"][number]).reached;
  }
}

function topicOf(source: Source, message: Arriving): string {
  return `ostrimvale/${source}/${message.kind}`;
}

function payloadOf(source: Source, seq: number, message: Arriving): string {
  return JSON.stringify({ v: 1, kind: message.kind, source, seq, ...message.body });
}

function remember(file: string | null, gateways: readonly Gateway[]): () => void {
  let last = "";
  return () => {
    if (file === null) return;
    const progress = Object.fromEntries(gateways.map((g) => [g.source, g.acknowledged])) as Progress;
    const now = JSON.stringify(progress);
    if (now !== last) writeProgress(file, progress);
    last = now;
  };
}
