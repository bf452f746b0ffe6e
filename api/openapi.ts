import { z } from "zod";
import { needs } from "./contract/access.ts";
import type { Endpoint } from "./contract/endpoints.ts";
import { problemSchema } from "./contract/wire.ts";

const problemWords: Readonly<Record<number, string>> = {
  400: "Something in the request is unknown or not as expected; `errors` says what, where, and what was expected",
  401: "Nobody is signed in, or what somebody was signed in with has ended",
  403: "A state change asked for by another site's page, or by somebody who may not",
  404: "There is no such thing",
  409: "Somebody was first, or things are no longer as they were; `flag` is a flag as it stands now",
  413: "The body is too large",
  415: "The body is not `application/json`",
  429: "Too many wrong PINs, or asked too often; `Retry-After` says when to try again",
  500: "We failed; the log has the reason",
  421: "The request names a host that we are not",
  503: "Not yet; `errors` has the reasons",
};

/** The OpenAPI 3.1 description, made from the schemas that the routes themselves parse with. */
export function openApiDocument(endpoints: Readonly<Record<string, Endpoint>>, version: string): object {
  const paths: Record<string, Record<string, object>> = {};
  for (const [name, endpoint] of Object.entries(endpoints)) {
    paths[endpoint.path] = { ...paths[endpoint.path], [endpoint.method]: operation(name, endpoint) };
  }
  return {
    openapi: "3.1.0",
    info: {
      title: "Steadypour",
      version,
      description:
        "Runs, control charts and flags of a lost-foam foundry. Times are ISO 8601 in UTC, units UCUM codes, numbers " +
        "unrounded. It informs; it writes to no machine.",
    },
    paths,
    components: { schemas: { Problem: jsonSchema(problemSchema, "output") } },
  };
}

function operation(name: string, endpoint: Endpoint): object {
  const need = needs[name as keyof typeof needs];
  const kept = need === "anyone" ? [] : [401, 403];
  const statuses = [...new Set([400, ...kept, ...endpoint.problems, 421, 500])].sort((a, b) => a - b);
  const content =
    endpoint.answer === undefined
      ? endpoint.path.endsWith(".json")
        ? { "application/json": { schema: { type: "object" } } }
        : { "text/plain": { schema: { type: "string" } } }
      : { "application/json": { schema: jsonSchema(endpoint.answer, "output") } };
  return {
    operationId: name,
    summary: endpoint.summary,
    // Which right it takes, and whether a PIN in the body may show it: for whoever reads this, and for the tests.
    "x-needs": need === "anyone" ? "anyone" : need.right,
    ...(need !== "anyone" && need.named === true ? { "x-named": true } : {}),
    parameters: [...parameters(endpoint.params, "path"), ...parameters(endpoint.query, "query")],
    ...(endpoint.body === undefined
      ? {}
      : {
          requestBody: {
            required: true,
            content: { "application/json": { schema: jsonSchema(endpoint.body, "input") } },
          },
        }),
    responses: {
      200: { description: endpoint.answers, content },
      ...Object.fromEntries(statuses.map((status) => [status, problemResponse(status)])),
    },
  };
}

function problemResponse(status: number): object {
  return {
    description: problemWords[status] ?? "A problem",
    content: { "application/problem+json": { schema: { $ref: "#/components/schemas/Problem" } } },
  };
}

function parameters(schema: z.ZodObject, place: "path" | "query"): object[] {
  const { properties = {}, required = [] } = jsonSchema(schema, "input") as {
    properties?: Record<string, { description?: string }>;
    required?: string[];
  };
  return Object.entries(properties).map(([name, { description, ...rest }]) => ({
    name,
    in: place,
    required: place === "path" || required.includes(name),
    ...(description === undefined ? {} : { description }),
    schema: rest,
  }));
}

function jsonSchema(schema: z.ZodType, io: "input" | "output"): object {
  const { $schema: _dialect, ...rest } = z.toJSONSchema(schema, { io });
  return rest;
}
