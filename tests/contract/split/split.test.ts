import { test } from "vitest";
import { sameApart } from "./split-story.ts";

// Behind an outside broker kill.test.ts kills each of them amid the stream.
test("collector and api apart, each killed alone, find, decide and read what one process does, and a replay gives the same", async () => {
  await sameApart();
}, 600_000);
