import type { WireLongTerm } from "../../api/contract/wire.ts";
import { counted } from "./numbers.ts";
import { type SiteTimes, spanWord } from "./times.ts";

/** How the copy in the long-term store stands, one sentence after the other. */
export function longTermSentences(copy: WireLongTerm, times: Pick<SiteTimes, "minute" | "day">): readonly string[] {
  const at = (instant: string): string => `${times.day(Date.parse(instant))}, ${times.minute(Date.parse(instant))}`;
  const where = copy.where ?? "InfluxDB";
  const waiting = counted(copy.behindReadings, "reading");
  const sentences: string[] = [];
  if (copy.trouble !== null) {
    sentences.push(`Since ${at(copy.trouble.since)} nothing goes to the long-term store: ${copy.trouble.words}.`);
    sentences.push(`Everything is kept here; ${waiting} ${copy.behindReadings === 1 ? "waits" : "wait"}.`);
  } else if (copy.behindReadings > 0) {
    sentences.push(`${where} is behind by ${waiting}, ${spanWord(copy.behindSeconds * 1_000)} of their time.`);
  } else if (copy.upToDate === null) sentences.push(`${where}: not looked at yet.`);
  else sentences.push(`${where} has all that was sent, as of ${at(copy.upToDate)}.`);
  const [first] = copy.refused;
  if (copy.refusedLines > 0) {
    const why = first === undefined ? "" : `, the last of them of ${first.series} at ${at(first.at)}: ${first.words}`;
    sentences.push(`${counted(copy.refusedLines, "reading")} it would not take${why}.`);
  }
  return sentences;
}
