import type { NextFunction, Request, RequestHandler, Response, Router } from "express";
import type { Clock } from "../../collector/platform/clock.ts";
import { displayPages, type Need, needs } from "../contract/access.ts";
import { type Endpoint, endpoints } from "../contract/endpoints.ts";
import { expressPath } from "../serve.ts";
import { nameNeeded, notAllowed, signInNeeded } from "./actor.ts";
import type { Caller } from "./callers.ts";
import { setCookie } from "./cookies.ts";
import type { Sessions } from "./sessions.ts";

type Name = keyof typeof endpoints;

/** Says of every request who asks, before anything is read of its body. */
export function tellCaller(
  identified: (request: Request, nowMs: number) => Caller,
  sessions: Sessions,
  clock: Clock,
): RequestHandler {
  return (request, response, next) => {
    const nowMs = clock.nowMs();
    const caller = identified(request, nowMs);
    response.locals["caller"] = caller;
    if (caller.session !== null) {
      // Pages ask for news by themselves, so only what somebody sends shows that there is somebody.
      if (request.method === "POST") sessions.used(caller.session, nowMs);
      const token = sessions.turned(caller.session, nowMs);
      if (token !== null) setCookie(response, "session", token);
    }
    next();
  };
}

/** Refuses by the table, before bodies are read. Of what a PIN in the body may allow, only strangers are refused here. */
export function guardRoutes(router: Router): void {
  each((name, { method, path }) => {
    router[method](expressPath(path), guard(name));
  });
}

/** After bodies are read: where nobody is named by PIN, the caller's own rights count. */
export function guardNamed(router: Router): void {
  each((name, { method, path }) => {
    const need = needs[name];
    if (need === "anyone" || need.named !== true) return;
    router[method](expressPath(path), (request: Request, response: Response, next: NextFunction) => {
      const caller = (response.locals as { caller: Caller }).caller;
      const body = request.body as { readonly by?: unknown } | undefined;
      if (typeof body?.by !== "string" && !caller.rights.includes(need.right)) {
        throw caller.kind === "terminal" ? nameNeeded() : notAllowed(need.right, caller.person);
      }
      next();
    });
  });
}

function guard(name: Name): RequestHandler {
  const need = needs[name] as Need | undefined;
  return (_request, response, next) => {
    const { caller } = response.locals as { readonly caller: Caller };
    if (need === "anyone") return next();
    // Who forgot to enter an endpoint into the table has opened nothing by it.
    if (need === undefined) throw new TypeError(`nothing says who may ask for ${name}`);
    const may = caller.rights.includes(need.right);
    if (caller.kind === "display" && !(may && displayPages[caller.key?.page ?? ""]?.includes(name))) {
      throw notAllowed(need.right, null);
    }
    if (may) return next();
    if (caller.kind === "nobody") throw signInNeeded(caller, need.right);
    if (need.named !== true || caller.kind === "program") throw notAllowed(need.right, caller.person);
    next();
  };
}

function each(work: (name: Name, endpoint: Endpoint) => void): void {
  for (const [name, endpoint] of Object.entries(endpoints)) work(name as Name, endpoint);
}
