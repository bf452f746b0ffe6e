import { expect, test } from "vitest";
import { type CommonState, commonCause, goesOn, noCommon, type Opening } from "../../../../spc/health/common-cause.ts";

const header = { id: "BO-1", stations: ["PR-01", "PR-02", "PR-03", "PR-04"], own: "HD-1" };
const minute = 60_000;
const at = (station: string, minutes: number): Opening => ({
  flag: `${station}@${minutes}`,
  station,
  atMs: minutes * minute,
});

function after(openings: readonly Opening[]) {
  let state: CommonState = noCommon;
  const joined: string[] = [];
  const flags = new Set<string>();
  for (const opening of openings) {
    const next = commonCause(state, opening, header);
    state = next.state;
    joined.push(...next.joined.map(({ flag }) => flag));
    if (next.flag !== null) flags.add(next.flag);
  }
  return { state, joined, flags: [...flags] };
}

test("three presses within five minutes have it in common, and the flag is named after the first", () => {
  const { joined, flags } = after([at("PR-02", 10), at("PR-01", 12), at("PR-04", 14.5)]);
  expect(joined).toEqual(["PR-02@10", "PR-01@12", "PR-04@14.5"]);
  expect(flags).toEqual(["BO-1:common:19700101T001000000Z"]);
});

test("two presses, one press three times, or three over six minutes have not", () => {
  expect(after([at("PR-02", 10), at("PR-01", 12)]).joined).toEqual([]);
  expect(after([at("PR-02", 10), at("PR-02", 11), at("PR-02", 12)]).joined).toEqual([]);
  expect(after([at("PR-02", 10), at("PR-01", 13), at("PR-04", 16)]).joined).toEqual([]);
});

test("the fourth joins, and so does one found late that began earlier", () => {
  const three = [at("PR-02", 10), at("PR-01", 12), at("PR-04", 14)];
  expect(after([...three, at("PR-03", 18)]).joined).toContain("PR-03@18");
  expect(after([...three, at("PR-03", 20)]).joined).not.toContain("PR-03@20");
  expect(after([...three, at("PR-03", 6)]).joined).toContain("PR-03@6");
});

test("in whatever order they are found, the same stations are together", () => {
  const { flags } = after([at("PR-04", 14.5), at("PR-02", 10), at("PR-01", 12)]);
  expect(flags).toEqual(["BO-1:common:19700101T001000000Z"]);
});

test("a station that it does not feed changes nothing", () => {
  expect(after([at("PR-02", 10), at("DR-1", 11), at("PR-01", 12)])).toMatchObject({ joined: [], flags: [] });
});

test("half an hour later the lonely one is forgotten", () => {
  expect(after([at("PR-02", 10), at("PR-01", 45)]).state.loose.map(({ station }) => station)).toEqual(["PR-01"]);
});

test("what weakens the feeder a little is seen at one press after the other: flags that still signal come together", () => {
  const again = (station: string, since: number, minutes: number): Opening => ({
    ...at(station, since),
    atMs: minutes * minute,
  });
  const one = [at("PR-01", 9), at("PR-04", 13), again("PR-01", 9, 15), at("PR-03", 17)];
  const { joined, flags } = after(one);
  expect(joined).toEqual(["PR-04@13", "PR-01@9", "PR-03@17"]);
  expect(flags).toEqual(["BO-1:common:19700101T000900000Z"]);
  // A press that has signalled for more than half an hour has something of its own.
  const old = [at("PR-01", 9), again("PR-01", 9, 40), at("PR-04", 41), at("PR-03", 42)];
  expect(after(old).joined).toEqual([]);
});

test("the header's own station joins by the hour that it judged, before and after the group, and is none of the three", () => {
  const hour = (ends: number): Opening => ({ ...at("HD-1", ends), sinceMs: (ends - 60) * minute });
  const three = [at("PR-02", 10), at("PR-01", 12), at("PR-04", 14)];
  expect(after([...three, hour(60)]).joined).toContain("HD-1@60");
  expect(after([hour(9), ...three]).joined).toContain("HD-1@9");
  expect(after([...three, hour(90)]).joined).not.toContain("HD-1@90");
  expect(after([hour(14), at("PR-02", 10), at("PR-01", 12)]).joined).toEqual([]);
  // An hour that ends long after tells nothing of how long the presses have it.
  expect(after([...three, hour(60), at("PR-03", 30)]).joined).not.toContain("PR-03@30");
});

test("while its flags still get signals, what opens within five minutes of one joins; after a pause nothing does", () => {
  const { state } = after([at("PR-02", 10), at("PR-01", 12), at("PR-04", 14)]);
  const joined = (from: CommonState, minutes: number): string | null =>
    commonCause(from, at("PR-03", minutes), header).flag;
  expect(joined(state, 26)).toBeNull();
  const lasting = [18, 22].reduce((one, minutes) => goesOn(one, minutes * minute), state);
  expect(joined(lasting, 26)).toBe("BO-1:common:19700101T001000000Z");
  // A signal that comes after a pause is a new thing.
  expect(goesOn(state, 20 * minute)).toBe(state);
  expect(goesOn(noCommon, minute)).toBe(noCommon);
});
