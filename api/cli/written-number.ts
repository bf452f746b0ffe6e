/** A number as a sheet has it, with a decimal point; NaN for anything else. */
export function writtenNumber(text: string): number {
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text) ? Number(text) : Number.NaN;
}
