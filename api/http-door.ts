import { createServer, type RequestListener, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import type { Address } from "../collector/platform/environment.ts";
import { Fault } from "../collector/platform/fault.ts";
import { Problem, problemDocument } from "./problem.ts";

/** The HTTP port: taken before anything else begins, given up after everything else has ended. */
export interface HttpDoor {
  readonly server: Server;
  /** Where it listens, as a browser writes it. */
  readonly url: string;
  /** From now on requests are answered by this. */
  answerWith(listener: RequestListener): void;
  /** From now on they are told that we are not ready, and why. */
  hold(why: string): void;
  close(): Promise<void>;
}

/** Opens the port; rejects with a Fault when it cannot be had. Until told otherwise, it says that we are starting. */
export async function openHttpDoor(address: Address): Promise<HttpDoor> {
  let listener = notReady("starting: the journal is being read");
  const server = createServer((request, response) => listener(request, response));
  await listening(server, address);
  return {
    server,
    url: urlOf(server.address() as AddressInfo),
    answerWith: (next) => {
      listener = next;
    },
    hold: (why) => {
      listener = notReady(why);
    },
    close: () => {
      server.closeAllConnections();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
}

function listening(server: Server, { host, port }: Address): Promise<void> {
  return new Promise((resolve, reject) => {
    const refused = (cause: NodeJS.ErrnoException): void => reject(addressFault(cause, host, port));
    server.once("error", refused);
    server.listen(port, host, () => {
      server.off("error", refused);
      resolve();
    });
  });
}

function addressFault(cause: NodeJS.ErrnoException, host: string, port: number): Fault {
  const options = { retryable: false, cause };
  if (cause.code === "EADDRINUSE") {
    const words = `${host}:${port} is taken by another program: give another port in STEADYPOUR_HTTP_PORT`;
    return new Fault("port-in-use", words, options);
  }
  const words = `${host}:${port} cannot be listened on (${cause.code}): see STEADYPOUR_HTTP_HOST, STEADYPOUR_HTTP_PORT`;
  return new Fault("address-unusable", words, options);
}

function notReady(why: string): RequestListener {
  const errors = [{ place: "process", found: why, expected: "ready" }];
  const body = JSON.stringify(problemDocument(new Problem(503, "not-ready", why, { errors })));
  return (request, response) => {
    request.resume();
    const headers = { "Cache-Control": "no-store", "Retry-After": "1" };
    response.writeHead(503, { ...headers, "Content-Type": "application/problem+json" }).end(body);
  };
}

function urlOf({ address, family, port }: AddressInfo): string {
  return `http://${family === "IPv6" ? `[${address}]` : address}:${port}`;
}
