import { expect, test } from "vitest";
import {
  doorSentence,
  missingSentence,
  sourceSentences,
  stripTrouble,
} from "../../../../dashboard/model/source-words.ts";
import { siteTimes } from "../../../../dashboard/model/times.ts";
import { floor, iso, noonMs } from "../wire-samples.ts";

const times = siteTimes("UTC");
const fresh = (over = {}) => ({ ...floor().freshness[0]!, ...over });
const missing = { messages: 12, from: iso(noonMs - 120_000), to: iso(noonMs - 60_000) };

test("a strip says what is wrong in three words, the clock before what is missing, and nothing when all is well", () => {
  expect(stripTrouble(fresh())).toBeNull();
  expect(stripTrouble(fresh({ missing }))).toBe("12 messages missing");
  expect(stripTrouble(fresh({ missing: { ...missing, messages: 1 } }))).toBe("1 message missing");
  expect(stripTrouble(fresh({ missing, clockWrong: -310 }))).toBe("clock 5 min behind");
  expect(stripTrouble(fresh({ clockWrong: 95 }))).toBe("clock 1 min ahead");
});

test("a page about the station says it in sentences, with the times between which messages are missing", () => {
  expect(sourceSentences(fresh(), times, noonMs)).toEqual([]);
  const [gap, clock] = sourceSentences(fresh({ missing, clockWrong: -310 }), times, noonMs);
  const span = `${times.clock(noonMs - 120_000)} and ${times.clock(noonMs - 60_000)}`;
  expect(gap).toBe(`12 messages of GW-PR never came, between ${span}: its counter passed over them.`);
  expect(clock).toMatch(/^The clock of GW-PR is 5 min behind, or it holds its readings back/);
  expect(sourceSentences(fresh({ clockWrong: 95 }), times, noonMs)[0]).not.toMatch(/holds/);
});

test("a source of which all is late says so, and behind what", () => {
  const late = { readings: 250, newest: iso(noonMs + 3_600_000) };
  expect(stripTrouble(fresh({ late, missing, clockWrong: 95 }))).toBe("all late");
  const [sentence] = sourceSentences(fresh({ late }), times, noonMs);
  expect(sentence).toMatch(/^The last 250 readings of GW-PR came late and enter no run: it had sent one of .* before/);
  expect(sentence).toContain(times.near(noonMs + 3_600_000, noonMs));
});

test("a source of which all is refused says so first, with the code and what can be done", () => {
  const refused = { messages: 40, code: "birth-missing" };
  expect(stripTrouble(fresh({ refused, missing, clockWrong: 95 }))).toBe("all refused");
  expect(sourceSentences(fresh({ refused }), times, noonMs)).toEqual([
    "Nothing of the last 40 messages of GW-PR could be taken: birth missing, so ask for a rebirth at the edge node, for nothing is sent from here.",
  ]);
  expect(sourceSentences(fresh({ refused: { messages: 3, code: "unknown-unit" } }), times, noonMs)[0]).toContain(
    "unknown unit, and quarantine has them",
  );
});

test("without times the gap is said without them, and on another day with the day", () => {
  expect(missingSentence("GW-PR", { ...missing, from: null }, times, noonMs)).toBe(
    "12 messages of GW-PR never came: its counter passed over them.",
  );
  expect(missingSentence("GW-PR", missing, times, noonMs + 3 * 86_400_000)).toContain(times.day(noonMs));
});

test("what is wrong at the door has a sentence of its own each, with its time and count", () => {
  const at = iso(noonMs - 60_000);
  const say = (code: Parameters<typeof doorSentence>[0]["code"], messages: number | null = null) =>
    doorSentence({ code, at: code === "broker-away" ? null : at, messages }, times, noonMs);
  expect(say("broker-away")).toMatch(/^Not connected to the broker/);
  expect(say("session-lost")).toMatch(new RegExp(`^${times.minute(noonMs - 60_000)}: the broker no longer knew us`));
  expect(say("client-id-shared")).toContain("under our client id");
  expect(say("messages-dropped", 120)).toMatch(/120 so far, of any of its clients/);
  expect(doorSentence({ code: "standby-missing", at, messages: null, collector: "b" }, times, noonMs)).toMatch(
    /no second collector stands by\. b takes readings/,
  );
});
