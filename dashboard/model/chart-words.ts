import type { WireFloorCharacteristic, WirePoint } from "../../api/contract/wire.ts";
import { counted, plural } from "./numbers.ts";

export type ChartKind = Pick<WireFloorCharacteristic, "chart" | "subgroup" | "runWord">;

/** What is plotted, as it is called in a sentence about a point: `the average of 4 flasks`. */
export function locationWord({ chart, subgroup, runWord }: ChartKind): string {
  if (chart === "averages-with-s") return `the average of ${counted(subgroup, runWord)}`;
  return chart === "ewma" ? "the weighted mean (EWMA)" : "the value";
}

/** What the lower chart shows: `moving range`, `standard deviation`. */
export function spreadWord({ chart, subgroup }: Pick<ChartKind, "chart" | "subgroup">): string {
  return chart === "averages-with-s" || subgroup > 1 ? "standard deviation" : "moving range";
}

/** What stands over the lower chart, in full and where there is little room. */
export function spreadTitle(kind: ChartKind): readonly [string, string] {
  const word = spreadWord(kind);
  const how =
    word === "moving range"
      ? "each run against the one before"
      : `within each ${kind.subgroup} ${plural(kind.runWord)}`;
  return [`Spread: ${word}, ${how}`, `Spread: ${word}`];
}

/** Both charts in one line: `averages of 4 flasks with standard deviation`. */
export function pairWords(kind: ChartKind): string {
  const { chart, subgroup, runWord } = kind;
  const runs = plural(runWord);
  const what =
    chart === "individuals"
      ? "individuals"
      : chart === "averages-with-s"
        ? `averages of ${subgroup} ${runs}`
        : `weighted mean (EWMA) of ${subgroup > 1 ? `averages of ${subgroup} ${runs}` : runs}`;
  return `${what} with ${spreadWord(kind)}`;
}

/** `one point a flask`, `one point for 4 flasks`. */
export function pointsWords({ subgroup, runWord }: ChartKind): string {
  if (subgroup > 1) return `one point for ${subgroup} ${plural(runWord)}`;
  // `hour` is the one word of the trade that is spoken without its first letter.
  return `one point ${/^([aeio]|hour)/i.test(runWord) ? "an" : "a"} ${runWord}`;
}

/** What the next point still waits for; null where every run is a point, or none waits. */
export function waitingWords({ subgroup, runWord, waiting }: WireFloorCharacteristic): string | null {
  if (subgroup < 2 || waiting.length === 0) return null;
  const left = subgroup - waiting.length;
  return `${waiting.length} of ${counted(subgroup, runWord)} ${waiting.length === 1 ? "is" : "are"} in: the next point waits for ${left} more`;
}

const shortBy: Readonly<Record<NonNullable<WirePoint["shortBy"]>, string>> = {
  gap: "cut short by a silence",
  change: "cut short by a change of part or tool",
  done: "cut short when a flag was done",
};

/** How a point's subgroup is not a full one: `3 of 4 flasks gave a value`, `2 flasks, cut short by a silence`. */
export function subgroupWords(
  { members, shortBy: why }: Pick<WirePoint, "members" | "shortBy">,
  { subgroup, runWord }: ChartKind,
): readonly string[] {
  if (members === undefined || subgroup < 2) return [];
  const there = members.filter(({ value }) => value !== null).length;
  const said: string[] = [];
  if (why !== undefined) said.push(`${counted(members.length, runWord)} of ${subgroup}, ${shortBy[why]}`);
  if (there < members.length) said.push(`${there} of ${counted(members.length, runWord)} gave a value`);
  return said;
}
