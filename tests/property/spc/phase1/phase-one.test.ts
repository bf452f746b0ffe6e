import fc from "fast-check";
import { expect, test } from "vitest";
import { drawP } from "../../../../spc/drawn/p.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import { phaseOne } from "../../../../spc/phase1/phase-one.ts";
import { countedWithout } from "../../../../spc/phase1/without-places.ts";

const counts = fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 6, maxLength: 40 });
const recorded = { cause: "a", who: "b", when: "c", evidence: "d", action: "e" };

test("whatever signals, only places with a recorded cause are ever left out, and the trial stays what it was", () => {
  fc.assert(
    fc.property(counts, fc.uniqueArray(fc.nat({ max: 5 }), { maxLength: 2 }), (bad, places) => {
      const data = counted(bad, 50);
      const left: (readonly number[])[] = [];
      const draw = (exclude: readonly number[]) => {
        left.push(exclude);
        return drawP(countedWithout(data, exclude), usualDesign({ from: 0, to: bad.length }));
      };
      const causes = places.map((place) => ({ place, ...recorded }));
      const study = phaseOne(draw, causes);
      const none = phaseOne(draw, []);
      if (!study.ok || !none.ok) throw new Error("refused");
      for (const exclude of left) expect(places).toEqual(expect.arrayContaining([...exclude]));
      expect(study.value.trial.signals.map(({ place }) => place)).toEqual(
        none.value.trial.signals.map(({ place }) => place),
      );
      for (const { place } of study.value.unexplained) expect(places).not.toContain(place);
    }),
  );
});
