import { messageKillCheck } from "../contract/notify/message-kill.ts";
import { fuzzRun } from "./fuzz-run.ts";
import { killCheck } from "./kill-check.ts";

/** `npm run soak`: what takes longer than a test may. Exit code 1 when anything did not hold. */
const kills = 10;

if (process.argv[2] === "fuzz") process.exit(await fuzzRun(process.argv.slice(3)));
const messageKills = 20;

for (const check of [
  () => killCheck("embedded", kills),
  () => killCheck("mosquitto", kills),
  () => messageKillCheck(messageKills),
]) {
  const { said, complaints } = await check();
  console.log(said);
  for (const complaint of complaints) console.error(`  ${complaint}`);
  if (complaints.length > 0) process.exitCode = 1;
}
console.log(process.exitCode === 1 ? "Did not hold. What differs stands above." : "Held.");
