import fc from "fast-check";
import { expect, test } from "vitest";
import {
  type CommonState,
  commonCause,
  commonWithinMs,
  noCommon,
  type Opening,
} from "../../../../spc/health/common-cause.ts";
import { uniforms } from "../seeded.ts";

const header = { id: "BO-1", stations: ["a", "b", "c", "d"], own: null };
const openings = fc
  .array(
    fc.record({ station: fc.constantFrom("a", "b", "c", "d", "x"), atMs: fc.integer({ min: 0, max: 3_600_000 }) }),
    {
      maxLength: 20,
    },
  )
  .map((all) => all.map((one, i): Opening => ({ ...one, flag: `f${i}` })));

function run(all: readonly Opening[], from: CommonState = noCommon) {
  let state = from;
  const groups = new Map<string, Opening[]>();
  for (const opening of all) {
    const next = commonCause(state, opening, header);
    state = next.state;
    if (next.flag !== null) groups.set(next.flag, [...(groups.get(next.flag) ?? []), ...next.joined]);
  }
  return { state, groups };
}

test("a group has three stations that it feeds, and each of its flags has another within five minutes", () => {
  fc.assert(
    fc.property(openings, (all) => {
      const members = [...run(all).groups.values()];
      for (const group of members) {
        expect(new Set(group.map(({ station }) => station)).size).toBeGreaterThanOrEqual(3);
        expect(group.every(({ station }) => header.stations.includes(station))).toBe(true);
        const times = group.map(({ atMs }) => atMs).sort((a, b) => a - b);
        const gaps = times.slice(1).map((atMs, i) => atMs - times[i]!);
        expect(Math.max(...gaps)).toBeLessThanOrEqual(commonWithinMs);
      }
      const flags = members.flat().map(({ flag }) => flag);
      expect(new Set(flags).size).toBe(flags.length);
    }),
  );
});

test("saved and read back between any two openings, it finds the same", () => {
  fc.assert(
    fc.property(openings, fc.nat({ max: 20 }), (all, at) => {
      const whole = run(all);
      const first = run(all.slice(0, at));
      const second = run(all.slice(at), JSON.parse(JSON.stringify(first.state)));
      expect(second.state).toEqual(whole.state);
    }),
  );
});

test("flags by chance come together as often as three Poisson processes do: 3 r^3 w^2 for each trio", () => {
  // So often that groups can be counted: each of four stations flags by chance once in two hours.
  const perMinute = 1 / 120;
  const minutes = 3_000_000;
  const next = uniforms(23);
  const chance: Opening[] = header.stations.flatMap((station) => {
    const out: Opening[] = [];
    for (let t = 0; ; ) {
      t -= Math.log(1 - next()) / perMinute;
      if (t > minutes) return out;
      out.push({ flag: `${station}${t}`, station, atMs: t * 60_000 });
    }
  });
  chance.sort((a, b) => a.atMs - b.atMs);
  const found = run(chance).groups.size;
  const expected = 4 * 3 * perMinute ** 3 * 5 ** 2 * minutes;
  // Groups that overlap are told once, so there are fewer; within a fifth of what is expected.
  expect(found / expected).toBeGreaterThan(0.75);
  expect(found / expected).toBeLessThan(1.05);
});
