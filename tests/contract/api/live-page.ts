import { type ClientOptions, WebSocket } from "ws";
import { type LiveFrame, liveFrameSchema } from "../../../api/contract/wire.ts";
import { eventually } from "../../eventually.ts";

type FrameOf<T extends LiveFrame["type"]> = Extract<LiveFrame, { readonly type: T }>;

/** A page's end of the live stream; every frame is checked against the contract. */
export interface LivePage {
  readonly frames: readonly LiveFrame[];
  readonly socket: WebSocket;
  /** The first frame of the type that passes, now or later. */
  next<T extends LiveFrame["type"]>(type: T, passes?: (frame: FrameOf<T>) => boolean): Promise<FrameOf<T>>;
  close(): Promise<void>;
}

export async function livePage(url: string, after?: number, options: ClientOptions = {}): Promise<LivePage> {
  const frames: LiveFrame[] = [];
  const query = after === undefined ? "" : `?after=${after}`;
  const socket = new WebSocket(`${url.replace("http", "ws")}/live${query}`, options);
  socket.on("message", (data) => frames.push(liveFrameSchema.parse(JSON.parse(String(data)))));
  await new Promise((resolve, reject) => {
    socket.once("open", resolve);
    socket.once("error", reject);
  });
  return {
    frames,
    socket,
    next: (type, passes = () => true) =>
      eventually(`a frame of ${type}`, () =>
        frames.find((frame): frame is FrameOf<typeof type> => frame.type === type && passes(frame as never)),
      ) as never,
    close: async () => {
      const closed = new Promise((resolve) => socket.once("close", resolve));
      socket.close();
      await closed;
    },
  };
}

/** The status line with which an upgrade is refused. */
export function refusedWith(url: string, headers: Readonly<Record<string, string>> = {}): Promise<number | undefined> {
  const socket = new WebSocket(url, { headers });
  return new Promise((resolve, reject) => {
    socket.once("unexpected-response", (_request, response) => {
      response.resume();
      resolve(response.statusCode);
      socket.terminate();
    });
    socket.once("open", () => reject(new Error("the upgrade was accepted")));
    socket.once("error", () => undefined);
  });
}
