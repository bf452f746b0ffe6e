import { expect } from "vitest";
import { againstEachOther, decidedKinds } from "../../../api/record-and-journal.ts";
import type { RunningApi } from "./running-api.ts";

/** That the Change Record and the journal say the same of what people did, but for entries that the test itself put there. */
export function expectRecordToTell({ data }: RunningApi, put: readonly string[] = []): void {
  const { rows, entries } = againstEachOther(
    data.record.read({ limit: 10_000 }),
    data.journal.read({ kinds: decidedKinds }),
  );
  expect({ rows, entries: entries.filter(({ id }) => !put.includes(id)) }).toEqual({ rows: [], entries: [] });
}
