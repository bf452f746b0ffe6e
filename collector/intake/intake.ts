import type { Decoded, MessageDecoder } from "../decode/decoder.ts";
import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import { growingWait } from "../platform/growing-wait.ts";
import { type MessageHandler, payloadBytes, type RawMessage } from "../source/message-source.ts";
import type { IncomingMessage, SampleStore } from "../store/sample-store.ts";
import { clockWatch } from "./clock-watch.ts";
import { groupBounds } from "./group-bounds.ts";

export interface IntakeParts {
  readonly decoder: MessageDecoder;
  readonly store: SampleStore;
  readonly bus: Bus;
  readonly clock: Clock;
  /** Told once when the store fails, and once when it works again. */
  readonly report: (fault: Fault | null) => void;
}

export interface IntakeStatus {
  /** What the store said when it failed last, until it works again. */
  readonly fault: Fault | null;
  /** Messages taken and not yet on disk. */
  readonly waiting: number;
  /** Messages that came at QoS 0 since the start: nothing can tell whether others were lost. */
  readonly unconfirmed: number;
  readonly commits: number;
  /** By source of which nothing is taken any more: what its last message was refused as. */
  readonly refused: ReadonlyMap<string, AllRefused>;
  /** By source, how far its clock is ahead of ours, where that is known. */
  readonly clockOffsetsMs: ReadonlyMap<string, number>;
}

/** Messages in a row that were refused whole. */
export interface AllRefused {
  readonly messages: number;
  readonly code: string;
}

export interface Intake {
  readonly handle: MessageHandler;
  status(): IntakeStatus;
  /** Puts on disk what is held; whatever comes later is refused. */
  stop(): void;
}

interface Held {
  readonly messages: IncomingMessage[];
  readonly settle: ((error?: Error) => void)[];
  items: number;
  bytes: number;
  watchedByTurns: boolean;
  eager: boolean;
}

/**
 * Decodes messages and commits them in groups; a message is settled when its group is on disk. While the store fails
 * everything is refused, so that senders keep what they have: nothing is dropped, and nothing piles up here.
 */
export function intake({ decoder, store, bus, clock, report }: IntakeParts): Intake {
  const wait = growingWait(1_000, 30_000);
  const clocks = clockWatch();
  const refused = new Map<string, AllRefused>();
  let held = emptyGroup();
  let fault: Fault | null = null;
  let resting = false;
  let unconfirmed = 0;
  let commits = 0;
  let committedMs = 0;
  const stopping = new AbortController();
  /** To ask the signal costs more than all else that a message is asked. */
  let stopped = false;

  const commit = (): void => {
    const group = held;
    if (group.messages.length === 0) return;
    held = emptyGroup();
    const failed = tryCommit(group.messages);
    for (const settle of group.settle) failed === null ? settle() : settle(failed);
    if (failed === null) bus.announce("samples");
  };

  const tryCommit = (messages: readonly IncomingMessage[]): Fault | null => {
    try {
      store.commit(messages);
    } catch (error) {
      // Anything else is our own bug: the process ends, nothing was acknowledged.
      if (!(error instanceof Fault)) throw error;
      if (fault === null) report(error);
      fault = error;
      rest(wait.next()).catch(endOfWait);
      return error;
    }
    commits += 1;
    committedMs = clock.nowMs();
    wait.reset();
    if (fault !== null) report(null);
    fault = null;
    return null;
  };

  const rest = async (ms: number): Promise<void> => {
    resting = true;
    await clock.sleep(ms, stopping.signal);
    resting = false;
  };

  /** Commits the group when it has waited long enough, or sooner when its senders have fallen silent. */
  const watch = async (group: Held): Promise<void> => {
    const { waitMs, quietMs, worthQuiet } = groupBounds;
    for (let waited = 0; waited < waitMs && group === held; waited += quietMs) {
      const before = group.messages.length;
      await clock.sleep(quietMs, stopping.signal);
      if (before === group.messages.length && (group.eager || isWorth(group, worthQuiet))) break;
    }
    if (group === held) commit();
  };

  /** A large group that gets no more in a whole turn of the event loop has senders that wait for us. */
  const watchTurns = (group: Held): void => {
    group.watchedByTurns = true;
    const before = group.messages.length;
    setImmediate(() => {
      if (group !== held) return;
      if (group.messages.length === before) commit();
      else watchTurns(group);
    });
  };

  const handle: MessageHandler = (raw, settled) => {
    if (stopped) return settled(new Error("the product is stopping"));
    if (fault !== null && resting) return settled(fault);
    if (raw.qos === 0) unconfirmed += 1;
    const message = incoming(raw, decoder.decode(raw));
    const newest = message.samples[message.samples.length - 1];
    // A bad one without a value may be ours: a death carries the time of its arrival.
    if (message.source !== null && newest !== undefined && newest.value !== null) {
      clocks.note(message.source, newest.tMs, raw.receivedMs);
    }
    if (message.rejections.length > 0 || refused.size > 0) noteRefusal(refused, message);
    held.messages.push(message);
    held.settle.push(settled);
    held.items += message.items;
    held.bytes += payloadBytes(raw);
    if (held.items >= groupBounds.items || held.bytes >= groupBounds.bytes) return commit();
    if (held.messages.length === 1) {
      const sinceMs = clock.nowMs() - committedMs;
      held.eager = sinceMs <= groupBounds.eagerMs || sinceMs >= groupBounds.idleMs;
      watch(held).catch(endOfWait);
    }
    if (!held.watchedByTurns && isWorth(held, groupBounds.worthTurn)) watchTurns(held);
  };

  /** A wait ends early only because the product stops; `stop` then commits. Anything else is a defect. */
  const endOfWait = (error: unknown): void => {
    if (!stopping.signal.aborted) queueMicrotask(() => throwIt(error));
  };

  return {
    handle,
    status: () => ({
      fault,
      waiting: held.messages.length,
      unconfirmed,
      commits,
      refused,
      clockOffsetsMs: clocks.offsetsMs(),
    }),
    stop: () => {
      stopped = true;
      stopping.abort();
      commit();
    },
  };
}

/** A message of which anything is taken ends it; one that holds no reading at all says nothing. */
function noteRefusal(refused: Map<string, AllRefused>, { source, samples, rejections }: IncomingMessage): void {
  if (source === null) return;
  const last = rejections[rejections.length - 1];
  if (samples.length > 0) refused.delete(source);
  else if (last !== undefined)
    refused.set(source, { messages: (refused.get(source)?.messages ?? 0) + 1, code: last.code });
}

const nothing = new Uint8Array(0);

/** Written out: a spread costs as much as the decoding of a short message. */
function incoming(raw: RawMessage, decoded: Decoded): IncomingMessage {
  return {
    topic: raw.topic,
    payload: decoded.rejections.length === 0 ? nothing : raw.payload,
    receivedMs: raw.receivedMs,
    qos: raw.qos,
    source: decoded.source,
    sequence: decoded.sequence,
    counted: decoded.counted,
    samples: decoded.samples,
    snapshots: decoded.snapshots,
    rejections: decoded.rejections,
    items: decoded.items,
    samplesPerItem: decoded.samplesPerItem,
  };
}

function emptyGroup(): Held {
  return { messages: [], settle: [], items: 0, bytes: 0, watchedByTurns: false, eager: false };
}

function isWorth({ messages, bytes }: Held, least: { readonly messages: number; readonly bytes: number }): boolean {
  return messages.length >= least.messages || bytes >= least.bytes;
}

function throwIt(error: unknown): never {
  throw error;
}
