import { expect, test } from "vitest";
import { studyCommand } from "../../../api/cli/study/options.ts";
import { UsageError } from "../../../api/cli/usage-error.ts";
import { usualOptions } from "../../../spc/study/request.ts";

function refusal(...words: readonly string[]): string {
  try {
    studyCommand(words);
  } catch (error) {
    if (error instanceof UsageError) return error.message;
    throw error;
  }
  throw new Error(`it was taken: ${words.join(" ")}`);
}

test("without options everything is as usual", () => {
  const { baseline: _, ...usual } = usualOptions;
  expect(studyCommand(["a.csv", "--value", "w"])).toMatchObject({
    file: "a.csv",
    form: null,
    columns: { values: ["w"], count: null },
    baseline: null,
    options: usual,
    json: false,
  });
});

test("all options are taken, negative numbers too", () => {
  const words =
    "a.csv --value w --subgroup s --time t --chart ewma --lambda 0.2 --width 2.7 --centre -5 --sigma 2 --limits exact --basis overall --baseline 0:25 --rules nine-on-one-side,beyond-limit --lower -9.5 --upper -1e-3 --target -5 --confidence 0.9 --json --svg a.svg --html a.html";
  expect(studyCommand(words.split(" "))).toMatchObject({
    form: "ewma",
    columns: { values: ["w"], subgroup: "s", time: "t" },
    baseline: { from: 0, to: 25 },
    options: {
      rules: ["beyond-limit", "nine-on-one-side"],
      lambda: 0.2,
      width: 2.7,
      centre: -5,
      sigma: 2,
      limits: "exact",
      basis: "overall",
      lower: -9.5,
      upper: -0.001,
      target: -5,
      confidence: 0.9,
    },
    json: true,
    svg: "a.svg",
    html: "a.html",
  });
});

test("a value beside a count is passed over, several values are taken apart, and rules may be none", () => {
  expect(studyCommand(["a.csv", "--value", "w", "--count", "c"]).columns).toMatchObject({ values: [], count: "c" });
  expect(studyCommand(["a.csv", "--value", "a,b", "--value", "c"]).columns.values).toEqual(["a", "b", "c"]);
  expect(studyCommand(["a.csv", "--value", "w", "--rules", "none"]).options.rules).toEqual([]);
});

const value = ["a.csv", "--value", "w"];
test.each([
  ["no file", ["--value", "w"], "expected one file"],
  ["two files", ["b.csv", ...value], "expected one file, found b.csv a.csv"],
  ["an unknown option", [...value, "--loud"], "found --loud, expected one of --value"],
  ["an unknown short option", [...value, "-x"], "found -x, expected one of --value"],
  ["an option without its word", [...value, "--chart"], "--chart: found nothing after it"],
  ["an option whose word is another option", [...value, "--chart", "--json"], "--chart: found nothing after it"],
  ["an unknown chart", [...value, "--chart", "pie"], "--chart: found pie, expected one of individuals xbar-r"],
  ["an unknown rule", [...value, "--rules", "ten-in-a-row"], "--rules: found ten-in-a-row, expected none or some of"],
  ["unknown limits", [...value, "--limits", "two"], "--limits: found two, expected one of sigma exact"],
  ["an unknown basis", [...value, "--basis", "my"], "--basis: found my, expected one of chart overall"],
  ["no column", ["a.csv"], "found neither --value nor --count"],
  ["a column twice", ["a.csv", "--value", "w,w"], "--value: found w twice"],
  ["an empty column", ["a.csv", "--value", "w,"], "--value: found an empty word"],
  ["p without counts", [...value, "--chart", "p"], "--chart p: found no --count"],
  ["p without sizes", ["a.csv", "--count", "c", "--chart", "p"], "--chart p: found no --size"],
  ["c with sizes", ["a.csv", "--count", "c", "--size", "n", "--chart", "c"], "--size: found it with --chart c"],
  ["averages of counts", ["a.csv", "--count", "c", "--chart", "xbar-s"], "--chart xbar-s: found --count"],
  ["averages without subgroups", [...value, "--chart", "xbar-s"], "--chart xbar-s: found no --subgroup"],
  [
    "single values with subgroups",
    [...value, "--chart", "individuals", "--subgroup", "s"],
    "--subgroup: found it with",
  ],
  ["T2 of one column", [...value, "--chart", "t2"], "--chart t2: found one --value"],
  ["individuals of two columns", ["a.csv", "--value", "a,b", "--chart", "individuals"], "found 2 columns in --value"],
  ["nominal without parts", [...value, "--chart", "nominal"], "--chart nominal: found no --part"],
  ["parts without nominal", [...value, "--part", "p"], "found no --nominal"],
  ["parts on another chart", [...value, "--part", "p", "--nominal", "n", "--chart", "ewma"], "--part: found it with"],
  [
    "a weight on another chart",
    [...value, "--chart", "cusum", "--lambda", "0.2"],
    "--lambda: found it with --chart cusum",
  ],
  ["a weight without a chart", [...value, "--lambda", "0.2"], "--lambda: found it with no --chart"],
  ["sizes without counts", [...value, "--size", "n"], "--size: found it without --count"],
  [
    "lower above upper",
    [...value, "--lower", "2", "--upper", "1"],
    "--upper: found 1, expected a number above --lower, which is 2",
  ],
  ["lower equal to upper", [...value, "--lower", "2", "--upper", "2"], "--upper: found 2"],
  ["a target outside", [...value, "--lower", "2", "--target", "1"], "--target: found 1"],
  ["a specification of counts", ["a.csv", "--count", "c", "--upper", "1"], "--upper: found it beside --count"],
  ["a sigma of zero", [...value, "--sigma", "0"], "--sigma: found 0, expected a number above zero"],
  [
    "a confidence in per cent",
    [...value, "--confidence", "95"],
    "--confidence: found 95, expected a number between 0 and 1",
  ],
  ["a word for a number", [...value, "--centre", "0x10"], "--centre: found 0x10, expected a number"],
  ["a baseline upside down", [...value, "--baseline", "5:5"], "--baseline: found 5:5, expected FROM:TO"],
  ["a baseline of words", [...value, "--baseline", "a:b"], "--baseline: found a:b"],
  ["a picture over the file", [...value, "--svg", "./a.csv"], "--svg: found the file that is read"],
  ["one file for both pictures", [...value, "--svg", "x", "--html", "x"], "--html: found x"],
])("%s is refused in one line", (_what, words, expected) => {
  const said = refusal(...words);
  expect(said).toContain(expected);
  expect(said).toContain("expected");
  expect(said.split("\n")).toHaveLength(1);
});
