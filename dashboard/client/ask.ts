import type { WireProblem } from "../../api/contract/wire.ts";

/** The server answered, and the answer was no. */
export class Refused extends Error {
  readonly problem: WireProblem;

  constructor(problem: WireProblem) {
    super(problem.detail);
    this.name = "Refused";
    this.problem = problem;
  }
}

/** No answer, or none that makes sense: worth another try. */
export class Unanswered extends Error {
  constructor(message: string, cause?: unknown) {
    super(message, { cause });
    this.name = "Unanswered";
  }
}

const patienceMs = 10_000;

let proof: string | null = null;

/** What a phone that was set up shows of itself, in place of a sign-in. */
export function proveWith(authorization: string | null): void {
  proof = authorization;
}

/** Asks the api for JSON. Throws `Refused` with the problem document, or `Unanswered`. */
export async function ask<T>(path: string, body?: unknown): Promise<T> {
  const request: RequestInit = {
    signal: AbortSignal.timeout(patienceMs),
    headers: { accept: "application/json", ...proven() },
    ...(body === undefined
      ? {}
      : {
          method: "POST",
          body: JSON.stringify(body),
          headers: { accept: "application/json", "content-type": "application/json", ...proven() },
        }),
  };
  const response = await answered(path, request);
  const content = await readJson(response);
  if (response.ok) return content as T;
  if (response.status >= 500) throw new Unanswered(`server answered ${response.status}`);
  throw new Refused(asProblem(content, response.status));
}

function proven(): { readonly authorization?: string } {
  return proof === null ? {} : { authorization: proof };
}

async function answered(path: string, request: RequestInit): Promise<Response> {
  try {
    return await fetch(path, request);
  } catch (cause) {
    throw new Unanswered("server did not answer", cause);
  }
}

async function readJson(response: Response): Promise<unknown> {
  try {
    return await response.json();
  } catch (cause) {
    throw new Unanswered(`server answered ${response.status} without JSON`, cause);
  }
}

function asProblem(content: unknown, status: number): WireProblem {
  if (typeof content === "object" && content !== null && "detail" in content) return content as WireProblem;
  return { type: "about:blank", title: "Refused", status, detail: `the server answered ${status}`, code: "refused" };
}
