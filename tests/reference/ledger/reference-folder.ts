/** Where test files leave what they asserted, for `report.ts` to add up. */
export const LEDGER_FOLDER = "test-results/reference/";
