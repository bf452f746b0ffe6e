import { readFileSync } from "node:fs";
import { createServer, type RequestListener, type Server } from "node:http";
import { createServer as createTlsServer, type Server as TlsServer } from "node:https";
import type { AddressInfo } from "node:net";
import type { Address, Environment } from "../collector/platform/environment.ts";
import { Fault } from "../collector/platform/fault.ts";
import { isLoopback } from "../collector/platform/loopback.ts";
import { Problem, problemDocument } from "./problem.ts";

/** The HTTP port: taken before anything else begins, given up after everything else has ended. */
export interface HttpDoor {
  readonly server: Server | TlsServer;
  /** Where it listens, as a browser writes it. */
  readonly url: string;
  /** Whether phones may get messages from here: browsers allow them over TLS and on the machine itself alone. */
  readonly phones: boolean;
  /** Whether nothing but this machine reaches it. */
  readonly loopback: boolean;
  /** From now on requests are answered by this. */
  answerWith(listener: RequestListener): void;
  /** From now on they are told that we are not ready, and why. */
  hold(why: string): void;
  close(): Promise<void>;
}

/** Opens the port; rejects with a Fault when it cannot be had. Until told otherwise, it says that we are starting. */
export async function openHttpDoor({ http, tls }: Pick<Environment, "http" | "tls">): Promise<HttpDoor> {
  let listener = notReady("starting: the journal is being read");
  const server = serverOf(tls, (request, response) => listener(request, response));
  server.maxConnections = MOST_CONNECTIONS;
  await listening(server, http);
  const bound = server.address() as AddressInfo;
  return {
    server,
    url: urlOf(bound, tls !== null),
    phones: tls !== null || isLoopback(bound.address),
    loopback: isLoopback(bound.address),
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

/**
 * A connection that says nothing, or byte after byte, holds a place no longer than this; and of places there is an end.
 * One that has asked may ask again for longer than anybody waits between two looks: were it closed after Node's 5 s, a
 * client that is late by a second would ask into a socket that is closed at that moment, and hear of a reset.
 */
const limits = {
  headersTimeout: 10_000,
  requestTimeout: 30_000,
  keepAliveTimeout: 75_000,
  connectionsCheckingInterval: 2_000,
};
const MOST_CONNECTIONS = 1_000;

function serverOf(tls: Environment["tls"], listener: RequestListener): Server | TlsServer {
  if (tls === null) return createServer(limits, listener);
  try {
    const files = { cert: readFileSync(tls.cert), key: readFileSync(tls.key) };
    return createTlsServer({ ...limits, ...files, minVersion: "TLSv1.2" }, listener);
  } catch (cause) {
    const words = `no TLS with the files of STEADYPOUR_TLS_CERT (${tls.cert}) and STEADYPOUR_TLS_KEY (${tls.key}): `;
    throw new Fault("certificate-unusable", `${words}${(cause as Error).message}`, { retryable: false, cause });
  }
}

function listening(server: Server | TlsServer, { host, port }: Address): Promise<void> {
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

function urlOf({ address, family, port }: AddressInfo, tls: boolean): string {
  return `${tls ? "https" : "http"}://${family === "IPv6" ? `[${address}]` : address}:${port}`;
}
