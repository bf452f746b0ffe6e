import fc from "fast-check";
import { expect, test } from "vitest";
import { revisedContext, type SaidSetUp, saidAt, setUpOf } from "../../../../spc/segment/set-ups.ts";

const word = fc.constantFrom("A", "B", "C", "");
const words = fc.dictionary(fc.constantFrom("part", "tool", "lot"), word, { maxKeys: 3 });
const time = fc.integer({ min: 0, max: 12 });
const said = fc
  .array(fc.record({ words, fromMs: time, heardMs: time, of: fc.option(fc.nat({ max: 20 })) }), { maxLength: 12 })
  .map((list) =>
    list.map(({ of, ...one }, at): SaidSetUp => {
      const instead = of === null || at === 0 ? null : `${of % at}`;
      return { id: `${at}`, ...one, instead };
    }),
  );

test("word by word what holds since last, of what was known and nothing stands instead of, as told by going through time", () => {
  fc.assert(
    fc.property(said, time, time, (list, startMs, heardByMs) => {
      const found = saidAt(list, startMs, heardByMs);
      const expected: Record<string, { word: string; sinceMs: number }> = {};
      for (let t = 0; t <= startMs; t += 1) {
        for (const one of list) {
          const known = one.heardMs <= heardByMs;
          const gone = list.some(({ instead, heardMs }) => instead === one.id && heardMs <= heardByMs);
          if (!known || gone || one.fromMs !== t) continue;
          for (const [key, word] of Object.entries(one.words)) expected[key] = { word, sinceMs: t };
        }
      }
      expect(found).toEqual(expected);
    }),
  );
});

test("what is said later than a run closed changes nothing of it", () => {
  fc.assert(
    fc.property(said, said, time, (before, after, heardByMs) => {
      const later = after.map((one, at) => ({ ...one, id: `later ${at}`, heardMs: heardByMs + 1 + one.heardMs }));
      expect(saidAt([...before, ...later], 12, heardByMs)).toEqual(saidAt(before, 12, heardByMs));
    }),
  );
});

test("of events and people the later holds for each word, and an empty word is none", () => {
  fc.assert(
    fc.property(
      words,
      fc.dictionary(fc.constantFrom("part", "tool", "lot"), time),
      said,
      time,
      (all, when, list, at) => {
        const held = Object.fromEntries(
          Object.entries(all).filter(([key, one]) => one !== "" && Object.hasOwn(when, key)),
        );
        const told = saidAt(list, at, 12);
        const found = setUpOf(held, when, told);
        for (const key of ["part", "tool", "lot"]) {
          const person = Object.hasOwn(told, key) ? told[key]! : null;
          const event = Object.hasOwn(when, key) ? when[key]! : null;
          const holds =
            person !== null && (event === null || person.sinceMs >= event) ? person.word : (held[key] ?? "");
          expect(found[key] ?? "").toBe(holds);
          if (holds === "") expect(Object.hasOwn(found, key)).toBe(false);
        }
      },
    ),
  );
});

test("a revision takes up what people said since, and leaves what the run's own events told", () => {
  fc.assert(
    fc.property(words, said, time, (told, list, startMs) => {
      const context = Object.fromEntries(Object.entries(told).filter(([, one]) => one !== ""));
      const now = saidAt(list, startMs, 12);
      const ever = (key: string, word: string): boolean => list.some((one) => one.words[key] === word);
      const revised = revisedContext(context, startMs, { now, ever });
      for (const key of ["part", "tool", "lot"]) {
        const had = context[key] ?? "";
        const says = Object.hasOwn(now, key) ? now[key]!.word : null;
        const own = had !== "" && !ever(key, had);
        expect(revised[key] ?? "").toBe(says === null || own ? had : says);
      }
    }),
  );
});
