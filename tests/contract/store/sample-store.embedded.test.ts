import { expect, test } from "vitest";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places } from "./incoming.ts";
import { sampleStoreContract } from "./sample-store.contract.ts";

sampleStoreContract("the embedded store", () => {
  const folder = temporaryFolder();
  return {
    store: openSampleStore(folder.path, places),
    reopen: () => openSampleStore(folder.path, places),
    remove: folder.remove,
  };
});

test("the quarantine keeps the newest rows only, and counts them all", () => {
  const folder = temporaryFolder();
  const store = openSampleStore(folder.path, places, { quarantineRows: 3 });
  const refused = (n: number) =>
    incoming([], { rejections: [{ code: "not-json", place: "", detail: `${n}` }], items: 1 });
  store.commit([1, 2, 3, 4, 5].map(refused));
  expect(store.quarantine({ limit: 10 }).map((row) => row.detail)).toEqual(["3", "4", "5"]);
  expect(store.counts().quarantined).toBe(5);
  store.close();
  folder.remove();
});
