import type { Tolerance } from "../../ledger/tolerance.ts";
import { printed } from "../../ledger/tolerance.ts";

/** Half a unit of the last digit that a number is written with: `499.95134`, `1.68e-02`, `500`. */
export function asWritten(text: string): Tolerance {
  const [digits, exponent] = text.toLowerCase().split("e") as [string, string | undefined];
  return printed((digits.split(".")[1]?.length ?? 0) - Number(exponent ?? 0));
}
