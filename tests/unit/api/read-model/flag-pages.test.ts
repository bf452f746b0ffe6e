import { expect, test } from "vitest";
import type { WireFlag } from "../../../../api/contract/wire.ts";
import { Problem } from "../../../../api/problem.ts";
import { flagPage } from "../../../../api/read-model/flag-pages.ts";

/** Flags as far as paging looks at them. */
interface Small {
  readonly number: number;
  doneAt?: number;
}

function listed(flags: readonly Small[]): WireFlag[] {
  const wire = flags.map(
    ({ number, doneAt }) =>
      ({
        id: `flag-${number}`,
        number,
        state: doneAt === undefined ? "waiting" : "done",
        done: doneAt === undefined ? null : { by: "lead", at: new Date(doneAt).toISOString(), cause: "-", note: "" },
      }) as unknown as WireFlag,
  );
  const open = wire.filter(({ done }) => done === null);
  const closed = wire.filter(({ done }) => done !== null);
  return [...open, ...closed.sort((a, b) => Date.parse(b.done?.at ?? "") - Date.parse(a.done?.at ?? ""))];
}

/** Journal places are the very times at which flags were closed here. */
const now = (flags: readonly Small[], seq: number) => ({
  seq,
  closedSeq: (id: string) => flags.find(({ number }) => `flag-${number}` === id)?.doneAt ?? null,
});

function pages(flags: Small[], limit: number, between: (page: number) => void = () => undefined): number[] {
  const seen: number[] = [];
  let after: string | undefined;
  for (let i = 0; i < 100; i++) {
    const page = flagPage(listed(flags), { limit, after }, now(flags, 1_000 + i));
    seen.push(...page.items.map(({ number }) => number));
    if (page.next === null) return seen;
    after = page.next;
    between(i);
  }
  throw new Error("the pages do not end");
}

test("open flags come oldest first, then closed ones, the last closed first", () => {
  const flags: Small[] = [{ number: 1, doneAt: 20 }, { number: 2 }, { number: 3, doneAt: 10 }, { number: 4 }];
  expect(pages(flags, 3)).toEqual([2, 4, 1, 3]);
});

test("a flag closed after it was shown open is not shown again", () => {
  const flags: Small[] = [{ number: 1 }, { number: 2 }, { number: 3 }, { number: 4, doneAt: 5 }];
  const seen = pages(flags, 2, (page) => {
    if (page === 0) Object.assign(flags[0] as Small, { doneAt: 1_500 });
  });
  expect(seen).toEqual([1, 2, 3, 4]);
});

test("a flag closed before it was shown open is still shown", () => {
  const flags: Small[] = [{ number: 1 }, { number: 2 }, { number: 3 }, { number: 4, doneAt: 5 }];
  const seen = pages(flags, 2, (page) => {
    if (page === 0) Object.assign(flags[2] as Small, { doneAt: 1_500 });
  });
  expect(seen.toSorted()).toEqual([1, 2, 3, 4]);
});

test("only flags in the asked state are listed", () => {
  const flags: Small[] = [{ number: 1, doneAt: 20 }, { number: 2 }];
  const asked = (state: "waiting" | "taken" | "done" | "open") =>
    flagPage(listed(flags), { limit: 9, state }, now(flags, 1)).items.map(({ number }) => number);
  expect([asked("waiting"), asked("taken"), asked("done"), asked("open")]).toEqual([[2], [], [1], [2]]);
});

test("a cursor of another list is refused", () => {
  const other = Buffer.from(JSON.stringify(["s", 5])).toString("base64url");
  expect(() => flagPage([], { limit: 9, after: other }, now([], 1))).toThrow(Problem);
});

test("of one chart only its own flags are given", () => {
  const flags = listed([{ number: 1 }, { number: 2 }, { number: 3, doneAt: 5 }]).map((flag, at) => ({
    ...flag,
    characteristic: at === 1 ? "PR-01:mold.rise" : "PR-01:mold.plateau",
  }));
  const found = flagPage(flags, { characteristic: "PR-01:mold.plateau", limit: 10 }, now([], 1));
  expect(found.items.map(({ number }) => number)).toEqual([1, 3]);
});
