import type { Request, Response, Router } from "express";
import type { z } from "zod";
import type { Endpoint } from "./contract/endpoints.ts";
import { type Mistake, mistaken, Problem } from "./problem.ts";
import { sendJson } from "./send-json.ts";

export interface Input<E extends Endpoint> {
  readonly params: z.output<E["params"]>;
  readonly query: z.output<E["query"]>;
  readonly body: E["body"] extends z.ZodType ? z.output<E["body"]> : undefined;
}

export type Answer<E extends Endpoint> = E["answer"] extends z.ZodType ? z.input<E["answer"]> : unknown;

/** Registers one endpoint: parses, asks, answers. Anything it does not understand is a 400 that says so. */
export function serve<E extends Endpoint>(
  router: Router,
  endpoint: E,
  answer: (input: Input<E>, response: Response) => Answer<E> | Promise<Answer<E>>,
): void {
  router[endpoint.method](expressPath(endpoint.path), async (request, response) => {
    const result = await answer(parsed(endpoint, request), response);
    if (!response.headersSent) await sendJson(request, response, result);
  });
}

/** After all endpoints: another method on a known path is told which ones there are. */
export function refuseOtherMethods(router: Router, endpoints: readonly Endpoint[]): void {
  const methods = new Map<string, string[]>();
  for (const { path, method } of endpoints) {
    methods.set(path, [...(methods.get(path) ?? []), ...(method === "get" ? ["GET", "HEAD"] : ["POST"])]);
  }
  for (const [path, allowed] of methods) {
    router.all(expressPath(path), (request, response) => {
      response.set("Allow", allowed.join(", "));
      throw new Problem(405, "method-not-allowed", `${request.method} does nothing here, ${allowed.join(" and ")} do`);
    });
  }
}

function parsed<E extends Endpoint>(endpoint: E, request: Request): Input<E> {
  const mistakes: Mistake[] = [];
  const part = (schema: z.ZodType, value: unknown, place: string): unknown => {
    const result = schema.safeParse(value);
    if (result.success) return result.data;
    mistakes.push(...mistakesOf(result.error, schema, value, place));
    return undefined;
  };
  const params = part(endpoint.params, { ...request.params }, "path");
  const query = part(endpoint.query, { ...request.query }, "query");
  const body = endpoint.body === undefined ? undefined : part(endpoint.body, request.body, "body");
  if (mistakes.length > 0) throw mistaken(mistakes);
  return { params, query, body } as Input<E>;
}

const secrets = new Set(["pin", "newPin", "password", "newPassword", "token", "secret", "key"]);

function mistakesOf(error: z.ZodError, schema: z.ZodType, value: unknown, place: string): Mistake[] {
  return error.issues.flatMap((issue): Mistake[] => {
    if (issue.code === "unrecognized_keys") {
      const names = Object.keys((schema as z.ZodObject).shape ?? {});
      const expected = names.length === 0 ? "nothing" : `one of ${names.join(", ")}`;
      return issue.keys.map((key) => ({ place, found: quoted(key), expected }));
    }
    const at = issue.path.reduce<unknown>((inside, key) => (inside as Record<PropertyKey, unknown>)?.[key], value);
    // A secret is never said back, not even to whoever sent it: it would stand on a screen.
    const found = secrets.has(String(issue.path.at(-1))) && at !== undefined ? "something else" : quoted(at);
    return [{ place: [place, ...issue.path].join("/"), found, expected: wordsOf(issue) }];
  });
}

/** Our schemas say in their message what they expect; zod's own messages begin with what went wrong. */
function wordsOf(issue: z.core.$ZodIssue): string {
  return issue.message.replace(/^(Invalid input|Invalid option|Too small|Too big): expected /, "");
}

function quoted(value: unknown): string {
  if (value === undefined) return "nothing";
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 80 ? `${text.slice(0, 77)}...` : text;
}

export function expressPath(path: string): string {
  return path.replaceAll(/\{(\w+)\}/g, ":$1");
}
