import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { type Loaded, load } from "../../../api/cli/study/load.ts";
import { studyCommand } from "../../../api/cli/study/options.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

function loaded(text: string, ...words: readonly string[]): Loaded {
  const file = join(folder.path, "some.csv");
  writeFileSync(file, text);
  return load(studyCommand([file, ...words]));
}

function values({ data }: Loaded): {
  readonly values: number[];
  readonly starts: number[];
  readonly anew: readonly number[];
} {
  if (data.kind !== "values") throw new Error(`these are ${data.kind}`);
  return { values: [...data.values.values], starts: [...data.values.starts], anew: data.values.anew };
}

const codes = ({ cautions }: Loaded): readonly string[] => cautions.map(({ code }) => code);

test("an empty field in a column of values is a missing value that holds its place", () => {
  const read = loaded("i,w\n1,5\n2,\n3, \n4,7\n", "--value", "w");
  expect(values(read)).toEqual({ values: [5, 7], starts: [0, 1, 1, 1, 2], anew: [] });
  expect(read).toMatchObject({ rows: 4, baseline: null, cautions: [] });
});

test("in a file of one column a blank line is a missing value, but not at its end", () => {
  expect(values(loaded("w\n5\n\n\n7\n\n\n", "--value", "w")).starts).toEqual([0, 1, 1, 1, 2]);
  expect(values(loaded("a,w\n1,5\n\n2,7\n\n", "--value", "w")).starts).toEqual([0, 1, 2]);
});

test("consecutive rows of one label are a subgroup, with missing values or without any", () => {
  const read = loaded('s,w\nA,1\nA,2\n"B",\nB,\nC,4\nC,\n', "--value", "w", "--subgroup", "s", "--baseline", "2:6");
  expect(values(read)).toMatchObject({ values: [1, 2, 4], starts: [0, 2, 2, 3] });
  expect(read.baseline).toEqual({ from: 1, to: 3 });
});

test("a long gap in time makes memory start anew", () => {
  const read = loaded("t,w\n0,1\n1,2\n2,3\n3,4\n6.5,5\n7.5,6\n10.5,7\n", "--value", "w", "--time", "t");
  expect(values(read).anew).toEqual([4]);
  const instants = [
    "2026-01-05T06:00:00Z",
    "2026-01-05T07:10:00+01:00",
    "2026-01-05T06:20:00Z",
    "2026-01-06T00:00:00Z",
  ];
  const rows = instants.map((time, at) => `${time},${at}`);
  expect(values(loaded(["t,w", ...rows].join("\n"), "--value", "w", "--time", "t")).anew).toEqual([3]);
});

test("times without an offset are taken as they stand, with a caution", () => {
  const read = loaded("t,w\n2026-01-05 06:00,1\n2026-01-05 06:05,2\n", "--value", "w", "--time", "t");
  expect(codes(read)).toEqual(["local-times"]);
});

test("a byte-order mark, semicolons and decimal commas are read, each with a caution that names the other reading", () => {
  const read = loaded("\ufeffw;n\r\n1,5;a\r\n2,25;b\r\n", "--value", "w");
  expect(values(read).values).toEqual([1.5, 2.25]);
  expect(codes(read)).toEqual(["byte-order-mark", "semicolons", "decimal-commas"]);
  for (const [at, option] of ["--encoding", "--separator", "--decimal"].entries()) {
    expect(read.cautions[at]?.text).toContain(option);
  }
});

test("what the command says of the file is no guess and gets no caution", () => {
  const words = ["--value", "w", "--separator", "semicolon", "--decimal", "point"];
  const read = loaded("w;n\n1,500;a\n2,250.5;b\n", ...words);
  expect(values(read).values).toEqual([1500, 2250.5]);
  expect(codes(read)).toEqual([]);
});

test("one column with decimal commas has no separator, and quoted decimal commas lie between commas", () => {
  expect(values(loaded("w\n1,5\n2,5\n", "--value", "w")).values).toEqual([1.5, 2.5]);
  expect(values(loaded('w,n\n"1,5",a\n"2,5",b\n', "--value", "w")).values).toEqual([1.5, 2.5]);
});

test("the separator is the one under which the wanted columns stand", () => {
  const read = loaded("a,b;w\n1,2;5\n1,2;7\n", "--value", "w");
  expect(values(read).values).toEqual([5, 7]);
});

test("counts hold their places, with sizes or one each", () => {
  const sized = loaded("d,n\n1,10\n,10\n0,0\n3,10\n", "--count", "d", "--size", "n", "--chart", "p");
  if (sized.data.kind !== "counts") throw new Error("no counts");
  const { counts, sizes } = sized.data.counted;
  expect([0, 1, 2, 3].map((at) => counts.at(at))).toEqual([1, null, 0, 3]);
  expect([0, 1, 2, 3].map((at) => sizes.at(at))).toEqual([10, 10, 0, 10]);
  const alone = loaded("d\n1\n2\n", "--count", "d");
  expect(alone.data).toMatchObject({
    kind: "counts",
    form: null,
    sized: false,
    counted: { sizes: { raw: 1, length: 2 } },
  });
});

test("a vector that lacks a component holds its place and is counted", () => {
  const read = loaded("a,b\n1,2\n3,\n5,6\n", "--value", "a,b");
  expect(read.data).toMatchObject({ kind: "vectors", vectors: { dimension: 2, incomplete: 1 } });
  if (read.data.kind !== "vectors") throw new Error("no vectors");
  expect([...read.data.vectors.rows]).toEqual([1, 2, 5, 6]);
  expect([...read.data.vectors.starts]).toEqual([0, 1, 1, 2]);
});

test("each place has its part and nominal value", () => {
  const words = ["--value", "x", "--part", "p", "--nominal", "m", "--chart", "nominal"];
  const read = loaded("p,m,x\nA,10,10.1\nB,20,19.9\n", ...words);
  if (read.data.kind !== "values") throw new Error("no values");
  expect(read.data.parts).toEqual(["A", "B"]);
  expect([read.data.nominal?.at(0), read.data.nominal?.at(1)]).toEqual([10, 20]);
});
