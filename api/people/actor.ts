import type { Response } from "express";
import type { Actor } from "../../collector/store/change-record.ts";
import { type Right, rights, rightsOf, whoMay } from "../contract/access.ts";
import { Problem } from "../problem.ts";
import type { Caller } from "./callers.ts";
import type { People, Person } from "./people.ts";

/** What a body says of who decides: nothing where the session says it, or a person and their PIN. */
export interface Named {
  readonly by?: string | undefined;
  readonly pin?: string | undefined;
}

export function callerOf(response: Response): Caller {
  return (response.locals as { readonly caller: Caller }).caller;
}

/** Who decides, once it is shown that it is them and that they may. */
export async function actorOf(
  people: People,
  { by, pin }: Named,
  right: Right,
  nowMs: number,
  response: Response,
): Promise<Actor> {
  const caller = callerOf(response);
  const person = by === undefined ? whoseSession(caller) : await byPin(people, by, pin ?? "", nowMs, response);
  if (!rightsOf[person.role].includes(right)) throw notAllowed(right, person);
  return { id: person.id, name: person.name, role: person.role, device: caller.device };
}

export function notAllowed(right: Right, person: Person | null): Problem {
  const who = person === null ? "this" : person.name;
  return new Problem(403, "not-allowed", `${who} may not ${rights[right]}: that is for ${whoMay(right)}`);
}

export function signInNeeded(caller: Caller, right: Right | null): Problem {
  const why = caller.stale ? "what you were signed in with has ended" : "you are not signed in";
  const what = right === null ? "" : `, and to ${rights[right]} one must be`;
  return new Problem(401, "sign-in-needed", `${why}${what}`);
}

export function nameNeeded(): Problem {
  return new Problem(
    403,
    "name-needed",
    "this is a shared terminal: whoever decides says who they are, with their PIN",
  );
}

function whoseSession(caller: Caller): Person {
  if (caller.person !== null && caller.kind !== "terminal") return caller.person;
  if (caller.kind === "terminal") throw nameNeeded();
  throw signInNeeded(caller, null);
}

async function byPin(people: People, by: string, pin: string, nowMs: number, response: Response): Promise<Person> {
  const answer = await people.check(by, pin, nowMs);
  if (answer.ok) return answer.person;
  switch (answer.why) {
    case "unknown-person":
      throw new Problem(403, "unknown-person", `nobody with an open account has the id ${by}`);
    case "no-pin":
      throw new Problem(403, "no-pin", `${by} has chosen no PIN, so nothing shows that it is them`);
    case "wrong-pin":
      throw new Problem(403, "wrong-pin", `that is not the PIN of ${by}`);
    case "too-many-tries":
      throw tooManyTries(`wrong PINs for ${by}`, answer.againMs, nowMs, response);
  }
}

export function tooManyTries(what: string, againMs: number, nowMs: number, response: Response): Problem {
  const seconds = Math.max(1, Math.ceil((againMs - nowMs) / 1000));
  response.set("Retry-After", String(seconds));
  return new Problem(429, "too-many-tries", `too many ${what}: try again in ${seconds} s`);
}
