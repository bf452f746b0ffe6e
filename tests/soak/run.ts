import { messageKillCheck } from "../contract/notify/message-kill.ts";
import { crashRun } from "./crash-run.ts";
import { depthsRun } from "./depths-run.ts";
import { fuzzRun } from "./fuzz-run.ts";
import { standbyRun } from "./standby-run.ts";
import { steadyRun } from "./steady-run.ts";
import { truthRun } from "./truth-run.ts";

/** What takes longer than a test may: `npm run soak` for the usual round, `npm run -s soak -- VERB` for one of these. */
const verbs: Readonly<Record<string, (words: readonly string[]) => Promise<number>>> = {
  crash: crashRun,
  depths: depthsRun,
  fuzz: fuzzRun,
  messages: messagesRun,
  run: steadyRun,
  standby: standbyRun,
  truth: truthRun,
};
const messageKills = 20;

process.exitCode = await main(process.argv.slice(2));

async function main([verb, ...words]: readonly string[]): Promise<number> {
  if (verb === undefined) return Math.max(await crashRun([]), await messagesRun());
  const run = verbs[verb];
  if (run !== undefined) return run(words);
  console.error(`soak: expected one of ${Object.keys(verbs).join(", ")}, found ${verb}`);
  return 2;
}

/** Messages to phones under kill -9. */
async function messagesRun(): Promise<number> {
  const { said, complaints } = await messageKillCheck(messageKills);
  console.log(said);
  for (const complaint of complaints) console.error(`  did not hold: ${complaint}`);
  return complaints.length === 0 ? 0 : 1;
}
