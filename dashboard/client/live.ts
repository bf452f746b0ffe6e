import type { LiveFrame } from "../../api/contract/wire.ts";
import { paths } from "./paths.ts";

/** What the socket tells its owner. */
export interface LiveEvents {
  /** Where to resume from, asked at every try. */
  readonly after: () => number;
  readonly frame: (frame: LiveFrame) => void;
  /** A try failed or the stream broke off; the next one starts in `waitMs`. */
  readonly lost: (tries: number, waitMs: number) => void;
  /** What the page was let in with has ended. */
  readonly ended: () => void;
}

export interface Live {
  /** Tries at once, without waiting for the back-off. */
  retry(): void;
  stop(): void;
}

const firstWaitMs = 250;
/** Short enough that the picture is whole again within 5 s of the link's return. */
const longestWaitMs = 3_000;
const openWithinMs = 3_000;
/** The server sends values every second: this long without any is a dead link that has not noticed. */
const silentMs = 8_000;
/** The server's code for it. */
const ENDED = 4401;

/** A socket that comes back by itself, with back-off and jitter, and resumes where it left off. */
export function openLive(events: LiveEvents): Live {
  let socket: WebSocket | null = null;
  let tries = 0;
  let timer = 0;
  let stopped = false;
  connect();
  return { retry, stop };

  function connect(): void {
    const address = new URL(paths.live(events.after()), location.href);
    address.protocol = address.protocol === "https:" ? "wss:" : "ws:";
    const opened = new WebSocket(address);
    socket = opened;
    watch(openWithinMs);
    opened.onmessage = (message) => {
      if (opened !== socket) return;
      tries = 0;
      watch(silentMs);
      events.frame(JSON.parse(message.data) as LiveFrame);
    };
    opened.onclose = ({ code }) => {
      if (opened !== socket) return;
      if (code === ENDED) events.ended();
      again();
    };
  }

  function watch(ms: number): void {
    clearTimeout(timer);
    timer = window.setTimeout(again, ms);
  }

  function again(): void {
    if (stopped) return;
    drop();
    const waitMs = Math.min(longestWaitMs, firstWaitMs * 2 ** tries) * (0.5 + Math.random() / 2);
    tries += 1;
    events.lost(tries, waitMs);
    timer = window.setTimeout(connect, waitMs);
  }

  function retry(): void {
    if (stopped) return;
    drop();
    connect();
  }

  function drop(): void {
    clearTimeout(timer);
    const old = socket;
    socket = null;
    old?.close();
  }

  function stop(): void {
    stopped = true;
    drop();
  }
}
