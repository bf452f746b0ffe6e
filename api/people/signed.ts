import type { Response } from "express";
import type { PersonRef } from "../../spc/model/proposal.ts";
import { Problem } from "../problem.ts";
import type { People } from "./people.ts";

/** The person that a request names, once the PIN has shown that it is them. */
export async function signed(
  people: People,
  { by, pin }: { readonly by: string; readonly pin: string },
  nowMs: number,
  response: Response,
): Promise<PersonRef> {
  const answer = await people.check(by, pin, nowMs);
  if (answer.ok) return { id: answer.person.id, name: answer.person.name };
  switch (answer.why) {
    case "unknown-person":
      throw new Problem(403, "unknown-person", `nobody in the settings has the id ${by}`);
    case "no-pin":
      throw new Problem(403, "no-pin", `${by} has no PIN in the settings, so nothing shows that it is them`);
    case "wrong-pin":
      throw new Problem(403, "wrong-pin", `that is not the PIN of ${by}`);
    case "too-many-tries": {
      const seconds = Math.max(1, Math.ceil((answer.againMs - nowMs) / 1000));
      response.set("Retry-After", String(seconds));
      throw new Problem(429, "too-many-tries", `too many wrong PINs for ${by}: try again in ${seconds} s`);
    }
  }
}
