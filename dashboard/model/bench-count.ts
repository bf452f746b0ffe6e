import { counted } from "./numbers.ts";

/** `62 loads`, `31 subgroups of 4 flasks`. */
export function countedPoints(
  n: number,
  { subgroup, runWord }: { readonly subgroup: number; readonly runWord: string },
): string {
  return subgroup < 2 ? counted(n, runWord) : `${counted(n, "subgroup")} of ${counted(subgroup, runWord)}`;
}
