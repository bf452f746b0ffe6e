import { expect, test } from "vitest";
import { earlierWords } from "../../../../dashboard/model/earlier-words.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";
import { flag, iso, noonMs } from "../wire-samples.ts";

const closed = (number: number, cause: string) =>
  flag({ id: `f${number}`, number, state: "done", done: { by: "Early lead", at: iso(noonMs), cause, note: "" } });
const say = (flags: Parameters<typeof earlierWords>[0]) => earlierWords(flags, siteTimes("CET"), noonMs + 1);

test("usual causes come with their counts, the most frequent first, and the newest flags with theirs", () => {
  const flags = [closed(9, "ladle cold"), closed(7, "no cause found"), closed(4, "ladle cold")];
  const found = say(flags);
  expect(found.causes).toBe("ladle cold twice, no cause found once");
  expect(found.lines.map(({ flag: id }) => id)).toEqual(["f9", "f7", "f4"]);
  expect(found.lines[0]?.text).toMatch(/, flag 9: .*\. Cause: ladle cold$/);
});

test("without a closed flag there is nothing usual", () => {
  expect(say([])).toEqual({ causes: null, lines: [] });
});
