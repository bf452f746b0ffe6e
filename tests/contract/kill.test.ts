import { expect, test } from "vitest";
import { killCheck } from "../soak/kill-check.ts";

/** Ten of each are done by `npm run soak`. */
const kills = 3;

test.each(["embedded", "mosquitto"] as const)(
  "%s: killed three times amid the stream, it keeps all that it acknowledged and finds what it would have found",
  { timeout: 300_000 },
  async (way) => {
    const { said, complaints } = await killCheck(way, kills);
    console.log(said);
    expect(complaints).toEqual([]);
  },
);
