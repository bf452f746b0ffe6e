import type { IncomingMessage, Server } from "node:http";
import type { Duplex } from "node:stream";
import { WebSocketServer } from "ws";
import type { Clock } from "../collector/platform/clock.ts";
import { liveNeeds } from "./contract/access.ts";
import type { LiveFrame, WireDoorTrouble } from "./contract/wire.ts";
import { type LiveSocket, liveSocket } from "./live/live-socket.ts";
import { type SocketBudget, socketBudget } from "./live/socket-budget.ts";
import type { Access } from "./people/access.ts";
import type { Caller } from "./people/callers.ts";
import type { ReadModel } from "./read-model/read-model.ts";
import { instant, type StationFreshness, wireFreshness } from "./read-model/wire-form.ts";
import { isOwnPage } from "./same-origin.ts";

export interface LiveParts {
  readonly model: Pick<ReadModel, "seq" | "changesSince" | "onGrowth">;
  readonly access: Pick<Access, "identify" | "knowsHost" | "holds" | "onEnded">;
  readonly freshness: () => readonly StationFreshness[];
  readonly door: () => WireDoorTrouble[];
  readonly clock: Clock;
  /** Hears of a defect in a loop, which then goes on. */
  readonly report: (error: unknown, words: string) => void;
  readonly budget?: SocketBudget;
  readonly pace?: LivePace;
}

export interface LivePace {
  readonly valuesMs: number;
  /** Frames of journal growth follow each other no closer than this; the first goes at once. */
  readonly changesMs: number;
  readonly pingMs: number;
}

export interface Live {
  readonly clients: number;
  /** Takes over upgrades of the server that ask for `/live`; others are refused. */
  attach(server: Server): void;
  stop(): Promise<void>;
}

const usualPace: LivePace = { valuesMs: 1_000, changesMs: 100, pingMs: 25_000 };
/** Pages of one site; more than this is a mistake or an attack. */
const mostClients = 500;
/** Pages of one machine, behind one address: walls, terminals, a few people's. */
const mostOfOne = 50;
/** What a page was let in with is looked at again this often, and at once when it is ended. */
const lookAgainMs = 60_000;
/** Of our own: what the page was let in with has ended. */
const ENDED = 4401;
/** Pages send nothing, so whatever comes is small or wrong. */
const maxPayload = 4 * 1024;

/** Tells every open page what is new. */
export function liveStream(parts: LiveParts): Live {
  const { model, clock } = parts;
  const pace = parts.pace ?? usualPace;
  const upgrades = new WebSocketServer({ noServer: true, maxPayload, perMessageDeflate: false, clientTracking: false });
  const sockets = new Map<LiveSocket, { readonly request: IncomingMessage; readonly caller: Caller }>();
  const stopped = new AbortController();

  const changesFrom = (): ((seq: number) => LiveFrame | null) => {
    // Pages mostly stand at the same place, so one frame serves them all.
    const made = new Map<number, LiveFrame | null>();
    return (seq) => {
      if (!made.has(seq)) made.set(seq, changesFrame(model, seq, clock.nowMs()));
      return made.get(seq) ?? null;
    };
  };
  const offerAll = (frame: (seq: number) => LiveFrame | null): void => {
    for (const socket of sockets.keys()) socket.offer(frame, clock.nowMs());
  };
  const offerChanges = (): void => offerAll(changesFrom());
  const offerValues = (): void => {
    if (sockets.size === 0) return;
    const now = clock.nowMs();
    const freshness = parts.freshness().map(wireFreshness);
    const door = parts.door();
    offerAll(() => ({ type: "values", now: instant(now), seq: model.seq, freshness, door }));
    // Pages that were spared a frame of changes stand behind; they get it now that they may read again.
    offerChanges();
  };

  const every = async (ms: number, work: () => void): Promise<void> => {
    while (!stopped.signal.aborted) {
      try {
        await clock.sleep(ms, stopped.signal);
        work();
      } catch (error) {
        if (!stopped.signal.aborted) parts.report(error, "the live stream failed to make a frame");
      }
    }
  };
  let gathering = false;
  let toldMs = Number.NEGATIVE_INFINITY;
  const gather = async (): Promise<void> => {
    if (gathering || sockets.size === 0) return;
    gathering = true;
    try {
      // At least one turn, so that what grows by several entries at once is told at once; a clock set back waits no longer.
      const sinceMs = clock.nowMs() - toldMs;
      await clock.sleep(sinceMs >= 0 ? Math.max(0, pace.changesMs - sinceMs) : 0, stopped.signal);
      toldMs = clock.nowMs();
      offerChanges();
    } catch (error) {
      if (!stopped.signal.aborted) parts.report(error, "the live stream failed to tell of changes");
    } finally {
      gathering = false;
    }
  };
  const stopListening = model.onGrowth(() => void gather());
  const loops = [
    every(pace.valuesMs, offerValues),
    every(pace.pingMs, () => {
      for (const socket of sockets.keys()) socket.ping();
    }),
    every(lookAgainMs, () => lookAgain(() => true)),
  ];
  const lookAgain = (which: (caller: Caller) => boolean): void => {
    for (const [socket, { caller }] of sockets) {
      if (which(caller) && !parts.access.holds(caller, clock.nowMs())) socket.end(ENDED, "signed out");
    }
  };
  parts.access.onEnded((id) => lookAgain((caller) => caller.person?.id === id || caller.key?.id === id));

  const admit = (request: IncomingMessage, stream: Duplex, head: Buffer): void => {
    const asked = askedFor(request);
    if (typeof asked === "string") {
      refuse(stream, asked);
      return;
    }
    if (!parts.access.knowsHost(request)) {
      refuse(stream, "421 Misdirected Request");
      return;
    }
    const caller = parts.access.identify(request, clock.nowMs());
    const may = (type: LiveFrame["type"]): boolean => caller.rights.includes(liveNeeds[type]);
    if (!may("hello")) {
      refuse(stream, caller.kind === "nobody" ? "401 Unauthorized" : "403 Forbidden");
      return;
    }
    const { remoteAddress } = request.socket;
    const ofOne = [...sockets.values()].filter((one) => one.request.socket.remoteAddress === remoteAddress).length;
    if (sockets.size >= mostClients || ofOne >= mostOfOne) {
      refuse(stream, "503 Service Unavailable");
      return;
    }
    upgrades.handleUpgrade(request, stream, head, (socket) => {
      const now = clock.nowMs();
      const live = liveSocket(socket, asked.after ?? model.seq, parts.budget ?? socketBudget, may);
      socket.on("close", () => sockets.delete(live));
      sockets.set(live, { request, caller });
      live.offer(() => ({ type: "hello", now: instant(now), seq: model.seq }), now);
      live.offer(changesFrom(), now);
    });
  };

  return {
    get clients() {
      return sockets.size;
    },
    attach: (server) => void server.on("upgrade", admit),
    stop: async () => {
      stopped.abort(new Error("the live stream stops"));
      stopListening();
      for (const socket of sockets.keys()) socket.end(1001, "the server stops");
      await Promise.all(loops);
    },
  };
}

function changesFrame(model: LiveParts["model"], seq: number, nowMs: number): LiveFrame | null {
  if (seq === model.seq) return null;
  const changes = model.changesSince(seq);
  if (changes === "too-much") return { type: "resync", seq: model.seq };
  return { type: "changes", now: instant(nowMs), ...changes };
}

/** Where the page wants to go on from, or the status line that refuses it. */
function askedFor(request: IncomingMessage): { readonly after: number | null } | string {
  const path = request.url ?? "/";
  if (!URL.canParse(path, "http://any")) return "400 Bad Request";
  const url = new URL(path, "http://any");
  if (url.pathname !== "/live") return "404 Not Found";
  if (!isOwnPage(request)) return "403 Forbidden";
  const after = url.searchParams.get("after");
  if (after === null) return { after: null };
  return /^\d{1,15}$/.test(after) ? { after: Number(after) } : "400 Bad Request";
}

function refuse(stream: Duplex, status: string): void {
  // The other side may be gone already; there is nothing left to tell it.
  stream.on("error", () => stream.destroy());
  stream.end(`HTTP/1.1 ${status}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`, () => stream.destroy());
}
