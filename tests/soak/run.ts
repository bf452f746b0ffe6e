import { killCheck } from "./kill-check.ts";

/** `npm run soak`: what takes longer than a test may. Exit code 1 when anything did not hold. */
const kills = 10;

for (const way of ["embedded", "mosquitto"] as const) {
  const { said, complaints } = await killCheck(way, kills);
  console.log(said);
  for (const complaint of complaints) console.error(`  ${complaint}`);
  if (complaints.length > 0) process.exitCode = 1;
}
console.log(process.exitCode === 1 ? "Did not hold. What differs stands above." : "Held.");
