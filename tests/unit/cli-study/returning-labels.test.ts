import fc from "fast-check";
import { expect, test } from "vitest";
import { rememberedLabels, returningLabels } from "../../../api/cli/study/returning-labels.ts";

/** What each label of a list is told to be, and how often the earlier ones were asked for again. */
function told(labels: readonly string[]): { readonly returns: readonly boolean[]; readonly asked: number } {
  let asked = 0;
  const returning = returningLabels((until) => {
    asked += 1;
    return labels.slice(0, until).map((one) => Buffer.from(one));
  });
  const returns = labels.map((one) => {
    const bytes = Buffer.from(`<${one}>`);
    return returning.returns(bytes, 1, bytes.length - 1);
  });
  return { returns, asked };
}

test("labels that grow are new, and nothing is read again for them", () => {
  const dates = ["2026-01-05", "2026-01-06", "2026-02-01"];
  for (const labels of [["1", "2", "9", "10", "100"], ["S-1", "S-2", "S-10"], dates]) {
    expect(told(labels)).toEqual({ returns: labels.map(() => false), asked: 0 });
  }
});

test("a label that was there is found, however the labels are ordered", () => {
  const some = fc.array(fc.stringMatching(/^[a-c1-3]{1,3}$/), { maxLength: 60 });
  fc.assert(
    fc.property(some, (labels) => {
      const wanted = labels.map((one, at) => labels.indexOf(one) < at);
      expect(told(labels).returns).toEqual(wanted);
      const remembered = rememberedLabels();
      const bytes = labels.map((one) => Buffer.from(one));
      expect(bytes.map((one) => remembered.returns(one, 0, one.length))).toEqual(wanted);
    }),
  );
});

test("two hundred thousand labels without order are all new", () => {
  const labels = Array.from({ length: 200_000 }, (_, at) => `L${(at * 7919) % 200_003}`);
  const { returns, asked } = told(labels);
  expect(returns.every((one) => !one)).toBe(true);
  expect(asked).toBeLessThan(4);
});
