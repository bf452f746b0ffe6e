import { expect, test } from "vitest";
import {
  alongBracket,
  besideLine,
  clearOf,
  edgesApart,
  letterWidth,
  marginsFor,
  middleOf,
  namesOver,
  type PlacedName,
} from "../../../../dashboard/model/bench-labels.ts";

const phone = { width: 266, left: 44, right: 56 };
const desk = { width: 900, left: 50, right: 128 };
const names = (n: number): string[] => [
  `Working limits ${n}, from 12 Jan 2026 06:00, 62 loads, set by one engineer and agreed by another`,
  `Working limits ${n}, from 12 Jan`,
  `Working limits ${n}`,
  `Limits ${n}`,
];

function reach({ name }: PlacedName): readonly [number, number] {
  const long = (name?.text.length ?? 0) * letterWidth;
  const x = name?.x ?? 0;
  return name?.anchor === "end" ? [x - long, x] : [x, x + long];
}

test.each([
  ["phone", phone],
  ["desk", desk],
])("at %s width sets that follow within minutes have names that cover neither each other nor a line", (_, room) => {
  for (const xs of [[2, 8, 15], [100, 106, 112, 118, 124, 130], [room.width - 9, room.width - 4, room.width], [0]]) {
    const placed = namesOver(
      xs.map((x, n) => ({ key: `${n}`, x, names: names(n + 1) })),
      room,
    );
    expect(placed.map(({ x }) => x)).toEqual(xs);
    // The newest always has its name; what is left of the older ones is at least their line.
    expect(placed.at(-1)!.name).not.toBeNull();
    const named = placed.filter(({ name }) => name !== null);
    for (const one of named) {
      const [from, to] = reach(one);
      expect(from, one.name!.text).toBeGreaterThanOrEqual(-room.left);
      expect(to, one.name!.text).toBeLessThanOrEqual(room.width + room.right);
      for (const other of named.filter((it) => it !== one)) {
        const [start, end] = reach(other);
        if (other.row === one.row)
          expect(start >= to || end <= from, `${one.name!.text} / ${other.name!.text}`).toBe(true);
        if (other.row >= one.row) expect(other.x <= from || other.x >= to).toBe(true);
      }
    }
  }
});

test("the newest set, at the right edge, leaves the one before it its name", () => {
  const placed = namesOver(
    [
      { key: "a", x: 420, names: names(1) },
      { key: "b", x: 880, names: names(2) },
    ],
    desk,
  );
  expect(placed.map(({ name }) => name?.text)).toEqual([names(1)[1], names(2)[0]]);
});

test("a set alone on a desk says all of itself, on a phone what fits", () => {
  const one = { key: "a", x: 300, names: names(3) };
  expect(namesOver([one], desk)[0]!.name).toMatchObject({ text: names(3)[0], anchor: "start" });
  expect(namesOver([{ ...one, x: 30 }], phone)[0]!.name!.text).toBe(names(3)[1]);
});

test("the sentence of a change is shortened before it is cut off", () => {
  const wordings = [
    "change began near shot 13:11:00 (shot 13:09:00 to shot 13:12:00)",
    "change began near shot 13:11:00",
  ];
  expect(besideLine(600, wordings, desk, true)).toEqual({ text: wordings[0], x: 595, anchor: "end" });
  expect(besideLine(240, wordings, phone, true)).toEqual({ text: wordings[1], x: 235, anchor: "end" });
  // Another upright line through the words: the other side, a shorter wording, and only then across it.
  expect(besideLine(600, wordings, desk, true, [560])).toMatchObject({ text: wordings[0], anchor: "start" });
  expect(besideLine(240, wordings, phone, true, [180]).text).toBe(wordings[1]);
  expect(besideLine(130, [...wordings, "change began here"], phone, true).text).toBe("change began here");
});

test("a bracket's sentence and a gap's reason stay within the drawing", () => {
  const text = "10 in a row above the centre line, no flag";
  expect(alongBracket(100, 300, text, desk)).toEqual({ text, x: 100, anchor: "start" });
  expect(alongBracket(700, 890, text, desk)).toEqual({ text, x: 890, anchor: "end" });
  const tight = alongBracket(120, 150, text, phone);
  expect(tight.anchor).toBe("start");
  expect(tight.x + text.length * letterWidth).toBeLessThanOrEqual(phone.width + phone.right);
  const middle = middleOf(264, "coverage 71 %, needs 90 %", phone);
  expect(middle + (25 * letterWidth) / 2).toBeLessThanOrEqual(phone.width + phone.right);
  expect(middleOf(100, "no runs", desk)).toBe(100);
});

test("margins are as wide as six or eight characters ask, and never narrower than usual", () => {
  const least = { left: 44, right: 56 };
  expect(marginsFor(["0.9"], ["0.93"], least, false)).toEqual(least);
  const wide = marginsFor(["1450.5"], ["1450.25"], least, false);
  expect(wide.left).toBeGreaterThanOrEqual(10 + 6 * letterWidth);
  expect(wide.right).toBeGreaterThanOrEqual(14 + 7 * letterWidth);
  expect(marginsFor([], ["1450.25"], least, true).right).toBeGreaterThan(wide.right);
});

test("labels at the edge of lines close to each other are pushed apart, within the panel, in their order", () => {
  const label = (y: number, word: string) => ({ y, text: "1", word, date: word === "centre" ? null : "since 12 Jan" });
  const wide = [label(20, "high limit"), label(50, "centre"), label(80, "low limit")];
  expect(edgesApart(wide, 100)).toEqual(wide);
  const close = edgesApart([label(96, "low limit"), label(90, "high limit"), label(93, "centre")], 100);
  expect(close.map(({ word }) => word)).toEqual(["high limit", "centre", "low limit"]);
  expect(close.every(({ date }) => date === null)).toBe(true);
  const [first, second, third] = close.map(({ y }) => y);
  expect([second! - first!, third! - second!].every((gap) => gap >= 14)).toBe(true);
  expect(third).toBeLessThanOrEqual(100);
});

test("a box that would cover another is moved clear of it, whichever way there is room", () => {
  const taken = [{ from: 0, to: 100, top: 70, foot: 95 }];
  const box = { from: 50, to: 150, top: 72, foot: 97 };
  expect(clearOf(box, [], 26, [0, 100])).toEqual(box);
  expect(clearOf(box, taken, 26, [0, 200])).toEqual({ ...box, top: 98, foot: 123 });
  expect(clearOf(box, taken, 26, [0, 100]).foot).toBeLessThanOrEqual(70 + 1);
});
