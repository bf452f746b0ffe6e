import { expect } from "vitest";
import type { z } from "zod";
import { problemSchema, type WireProblem } from "../../../api/contract/wire.ts";
import { as, terminal } from "./as.ts";

/** Asks for JSON and checks it against its schema, which must know every name in it. */
export async function ask<T extends z.ZodType>(url: string, schema: T, init?: RequestInit): Promise<z.output<T>> {
  const response = await fetch(url, init);
  const body: unknown = await response.json();
  expect(response.status, JSON.stringify(body)).toBe(200);
  const parsed = schema.safeParse(body);
  if (!parsed.success) throw new Error(`${url}: ${parsed.error.message}`);
  expect(parsed.data).toEqual(body);
  return parsed.data;
}

export async function askProblem(url: string, status: number, init?: RequestInit): Promise<WireProblem> {
  const response = await fetch(url, init);
  const body: unknown = await response.json();
  expect(response.status, JSON.stringify(body)).toBe(status);
  expect(response.headers.get("content-type")).toMatch(/^application\/problem\+json/);
  const problem = problemSchema.strict().parse(body);
  expect(problem.status).toBe(status);
  return problem;
}

/** Asked at a terminal that a shift shares, unless the headers say who is signed in. */
export function post(body: unknown, headers: Readonly<Record<string, string>> = as(terminal)): RequestInit {
  return { method: "POST", body: JSON.stringify(body), headers: { "content-type": "application/json", ...headers } };
}
