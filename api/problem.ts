import type { NextFunction, Request, Response } from "express";
import { InfluxTrouble } from "../collector/store/influx/influx-trouble.ts";
import type { WireFlag, WireProblem } from "./contract/wire.ts";

export interface Mistake {
  /** `query/limit`, `body/by`, `path/id`. */
  readonly place: string;
  readonly found: string;
  readonly expected: string;
}

const titles: Readonly<Record<number, string>> = {
  400: "Bad Request",
  401: "Unauthorized",
  403: "Forbidden",
  404: "Not Found",
  405: "Method Not Allowed",
  409: "Conflict",
  413: "Content Too Large",
  415: "Unsupported Media Type",
  421: "Misdirected Request",
  429: "Too Many Requests",
  500: "Internal Server Error",
  503: "Service Unavailable",
};

interface Extras {
  readonly errors?: readonly Mistake[];
  readonly flag?: WireFlag;
}

/** A request we cannot serve, and why. Thrown by routes, written by `problems` as an RFC 9457 document. */
export class Problem extends Error {
  override readonly name = "Problem";
  readonly status: number;
  readonly code: string;
  readonly extras: Extras;
  constructor(status: number, code: string, detail: string, extras: Extras = {}) {
    super(detail);
    this.status = status;
    this.code = code;
    this.extras = extras;
  }
}

/** What was asked does not hold together: every mistake at its place, and all of them in words. */
export function mistaken(errors: readonly Mistake[]): Problem {
  const words = errors.map(({ place, found, expected }) => `${place}: found ${found}, expected ${expected}`);
  return new Problem(400, "bad-request", words.join("; "), { errors });
}

export function problemDocument(problem: Problem): WireProblem {
  const { errors, flag } = problem.extras;
  return {
    // RFC 9457 4.2.1: no more is meant than the status says; our own `code` tells problems apart.
    type: "about:blank",
    title: titles[problem.status] ?? "Error",
    status: problem.status,
    detail: problem.message,
    code: problem.code,
    ...(errors === undefined ? {} : { errors: [...errors] }),
    ...(flag === undefined ? {} : { flag }),
  };
}

/** What express and its body parser throw, in our words; undefined for what can only be our own defect. */
function asProblem(error: unknown): Problem | undefined {
  if (error instanceof Problem) return error;
  if (error instanceof InfluxTrouble) {
    return new Problem(503, "long-term-store-away", `older readings are in the long-term store: ${error.message}`);
  }
  if (error instanceof URIError) return new Problem(400, "bad-path", "the path is not valid percent-encoding");
  const { type, status } = error as { readonly type?: unknown; readonly status?: unknown };
  if (type === "entity.parse.failed") {
    const found = error instanceof Error ? error.message : "";
    const errors = [{ place: "body", found, expected: "a JSON object" }];
    return new Problem(400, "bad-json", "the body is not JSON", { errors });
  }
  if (type === "entity.too.large") return new Problem(413, "body-too-large", "the body is larger than 16 KB");
  if (type === "charset.unsupported" || type === "encoding.unsupported") {
    return new Problem(415, "bad-encoding", "the body's character set or compression is not one we read");
  }
  if (typeof status === "number" && status >= 400 && status < 500) {
    return new Problem(400, "bad-request", error instanceof Error ? error.message : "the request could not be read");
  }
  return undefined;
}

/** Last of all handlers: writes every error as a problem document. `report` hears of our own defects, `tell` of all else. */
export function problems(
  report: (error: unknown, words: string) => void,
  tell: (problem: Problem, request: Request, response: Response) => void,
) {
  return (error: unknown, request: Request, response: Response, next: NextFunction): void => {
    const known = asProblem(error);
    if (known === undefined) report(error, `${request.method} ${request.path} failed`);
    else tell(known, request, response);
    if (response.headersSent) {
      next(error);
      return;
    }
    const problem = known ?? new Problem(500, "internal", "we failed to answer; the log has the reason");
    response.status(problem.status).set("Cache-Control", "no-store").type("application/problem+json");
    response.send(JSON.stringify(problemDocument(problem)));
  };
}
