import type { WebSocket } from "ws";
import type { LiveFrame } from "../contract/wire.ts";
import { frameFor, type SocketBudget } from "./socket-budget.ts";

/** One page's connection: what it has been sent, and whether it still reads. */
export interface LiveSocket {
  /** Journal place up to which the page has been told. */
  readonly seq: number;
  /** Sends a frame made for where this socket stands, if its budget allows; the frame moves it on. */
  offer(frameFrom: (seq: number) => LiveFrame | null, nowMs: number): void;
  /** Sends a ping, or gives the connection up when the one before was not answered. */
  ping(): void;
  end(code: number, words: string): void;
}

export function liveSocket(
  socket: WebSocket,
  fromSeq: number,
  budget: SocketBudget,
  /** Whether the page may be sent messages of a kind. */
  may: (type: LiveFrame["type"]) => boolean,
): LiveSocket {
  let seq = fromSeq;
  let skippingSinceMs: number | null = null;
  let answered = true;
  socket.on("pong", () => {
    answered = true;
  });
  // Pages have nothing to say here: whoever does is no page of ours.
  socket.on("message", () => socket.close(1008, "nothing is taken here"));
  // A peer that vanishes or sends nonsense ends its own connection only; `close` follows.
  socket.on("error", () => socket.terminate());
  return {
    get seq() {
      return seq;
    },
    offer: (frameFrom, nowMs) => {
      if (socket.readyState !== socket.OPEN) return;
      const verdict = frameFor(socket.bufferedAmount, skippingSinceMs, nowMs, budget);
      if (verdict === "drop") {
        socket.terminate();
        return;
      }
      if (verdict === "skip") {
        skippingSinceMs ??= nowMs;
        return;
      }
      skippingSinceMs = null;
      const frame = frameFrom(seq);
      if (frame === null || !may(frame.type)) return;
      socket.send(JSON.stringify(frame));
      // `values` and `hello` tell where the server is; only these two bring the page there.
      if (frame.type === "changes" || frame.type === "resync") seq = frame.seq;
    },
    ping: () => {
      if (!answered) {
        socket.terminate();
        return;
      }
      answered = false;
      socket.ping();
    },
    end: (code, words) => socket.close(code, words),
  };
}
