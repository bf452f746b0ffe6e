import { expect, test } from "vitest";
import { messageKillCheck } from "./message-kill.ts";

/** Twenty are done by `npm run soak`. */
const kills = 3;

test("killed between flag and message, each message leaves, and none twice where the service can know", {
  timeout: 240_000,
}, async () => {
  const { said, complaints } = await messageKillCheck(kills);
  console.log(said);
  expect(complaints).toEqual([]);
});
