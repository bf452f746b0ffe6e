import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { as } from "./as.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

interface Operation {
  readonly operationId: string;
  readonly parameters: readonly { readonly name: string; readonly in: string; readonly schema: { type?: string } }[];
  readonly requestBody?: unknown;
  readonly responses: Readonly<Record<string, { readonly description: string; readonly content: object }>>;
}
interface Document {
  readonly openapi: string;
  readonly info: { readonly title: string; readonly version: string };
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, object>> };
}

let api: RunningApi;
let document: Document;
beforeAll(async () => {
  api = await runningApi();
  document = (await (await fetch(`${api.url}/api/openapi.json`)).json()) as Document;
});
afterAll(() => api.stop());

const operations = (): Operation[] => Object.values(document.paths).flatMap((path) => Object.values(path));

test("it is OpenAPI 3.1 and has every endpoint", () => {
  expect(document.openapi).toMatch(/^3\.1\.\d$/);
  expect(document.info.version).toBe("0.0.0");
  const described = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.keys(methods).map((method) => `${method} ${path}`),
  );
  expect(described.sort()).toEqual(
    Object.values(endpoints)
      .map(({ method, path }) => `${method} ${path}`)
      .sort(),
  );
});

test("every operation has a name of its own, and every path parameter is described", () => {
  const names = operations().map(({ operationId }) => operationId);
  expect(new Set(names).size).toBe(names.length);
  for (const [path, methods] of Object.entries(document.paths)) {
    const inPath = [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name);
    for (const { parameters } of Object.values(methods)) {
      expect(parameters.filter((p) => p.in === "path").map(({ name }) => name)).toEqual(inPath);
    }
  }
});

test("every error is described as a problem document, and every reference leads somewhere", () => {
  for (const { responses } of operations()) {
    const errors = Object.entries(responses).filter(([status]) => status !== "200");
    expect(errors.map(([status]) => status)).toEqual(expect.arrayContaining(["400", "500"]));
    for (const [, { content }] of errors) expect(Object.keys(content)).toEqual(["application/problem+json"]);
  }
  const references = [...JSON.stringify(document).matchAll(/"\$ref":"#\/components\/schemas\/(\w+)"/g)];
  expect(references.length).toBeGreaterThan(0);
  for (const [, name] of references) expect(document.components.schemas).toHaveProperty(name ?? "");
  expect(JSON.stringify(document)).not.toContain('"$ref":"#/$defs');
});

test("limits are described as numbers and the bodies of actions as required", () => {
  const limit = document.paths["/api/flags"]?.["get"]?.parameters.find(({ name }) => name === "limit");
  expect(limit?.schema).toEqual({ type: "integer", minimum: 1, maximum: 1000 });
  expect(document.paths["/api/flags/{id}/done"]?.["post"]?.requestBody).toMatchObject({ required: true });
});

/** What a path cannot do without. */
const needed: Readonly<Record<string, string>> = {
  "/api/readings": "?series=PR-01/pressure",
  "/api/trend": "?series=PR-01/pressure&from=0&to=1000",
};

test("every described path answers", async () => {
  for (const [path, methods] of Object.entries(document.paths)) {
    if (!("get" in methods)) continue;
    const url = `${api.url}${path.replace("{id}", "none")}${needed[path] ?? ""}`;
    const { status } = await fetch(url, { headers: as("administrator") });
    expect(status, path).toBe(path.includes("{id}") ? 404 : 200);
  }
});
