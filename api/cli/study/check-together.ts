import { countForms, type StudyForm, vectorForms } from "../../../spc/study/forms.ts";
import { UsageError } from "../usage-error.ts";
import type { StudyCommand } from "./options.ts";

const ofSubgroups: readonly StudyForm[] = ["xbar-r", "xbar-s", "median-r", "three-way"];
const ofSingles: readonly StudyForm[] = ["individuals", "g", "t", "q", "residual", "batch-mean"];
const ofSizes: readonly StudyForm[] = ["p", "np", "u", "p-prime", "u-prime"];
const ofParts: readonly StudyForm[] = ["nominal", "z-w"];

/** Options that only some forms of chart take, and which. */
const designed = {
  lambda: ["ewma", "mewma"],
  k: ["cusum"],
  h: ["cusum", "mewma"],
  span: ["moving-average", "batch-mean"],
} as const satisfies Partial<Record<keyof StudyCommand["options"], readonly StudyForm[]>>;

/** Whether the options of a command go together; what would be passed over in silence is refused instead. */
export function checkTogether(command: StudyCommand): void {
  const { form, columns } = command;
  if (columns.count === null && columns.values.length === 0) {
    throw new UsageError("found neither --value nor --count, expected the name of a column for one of them");
  }
  checkColumns(command);
  if (form !== null && ofParts.includes(form)) need(form, { part: columns.part, nominal: columns.nominal });
  else if (columns.part !== null || columns.nominal !== null) {
    const option = columns.part === null ? "nominal" : "part";
    if (form !== null) unwanted(option, `--chart ${form}`, ofParts);
    need(null, { part: columns.part, nominal: columns.nominal });
  }
  for (const [option, forms] of Object.entries(designed)) {
    const value = command.options[option as keyof typeof designed];
    if (value === null || (forms as readonly StudyForm[]).some((one) => one === form)) continue;
    unwanted(option, form === null ? "no --chart" : `--chart ${form}`, forms);
  }
  if (form === "z-w" && (command.options.centre !== null || command.options.sigma !== null)) {
    const option = command.options.centre === null ? "sigma" : "centre";
    throw new UsageError(`--${option}: found it with --chart z-w, expected it elsewhere: each part has its own`);
  }
  checkSpecification(command);
  if (command.svg !== null && command.svg === command.html) {
    throw new UsageError(`--html: found ${command.html}, the same file as for --svg, expected another`);
  }
}

function checkColumns({ form, columns }: StudyCommand): void {
  const asked = form === null ? "" : `--chart ${form}`;
  if (columns.count !== null) {
    if (form !== null && !isCountForm(form))
      throw new UsageError(`${asked}: found --count, expected --value for this chart`);
    if (form !== null && ofSizes.includes(form)) need(form, { size: columns.size });
    if (form === "c" && columns.size !== null) unwanted("size", asked, ofSizes);
    if (columns.part !== null || columns.nominal !== null) unwanted("part", "--count", ofParts);
    return;
  }
  if (isCountForm(form)) throw new UsageError(`${asked}: found no --count, expected the name of the column of counts`);
  if (columns.size !== null) throw new UsageError("--size: found it without --count, expected both or neither");
  const several = columns.values.length > 1;
  if (isVectorForm(form) && !several)
    throw new UsageError(`${asked}: found one --value, expected two or more such as --value A,B`);
  if (several && form !== null && !isVectorForm(form)) {
    throw new UsageError(
      `${asked}: found ${columns.values.length} columns in --value, expected one (several are for t2 and mewma)`,
    );
  }
  if (several && columns.part !== null) unwanted("part", "several values", ofParts);
  if (form === null) return;
  if (ofSubgroups.includes(form)) need(form, { subgroup: columns.subgroup });
  if (ofSingles.includes(form) && columns.subgroup !== null) unwanted("subgroup", asked, ofSubgroups);
}

function checkSpecification({ options, columns }: StudyCommand): void {
  const { lower, upper, target } = options;
  const option = lower !== null ? "lower" : upper !== null ? "upper" : target !== null ? "target" : null;
  if (option === null) return;
  if (columns.count !== null || columns.values.length > 1) {
    const beside = columns.count !== null ? "--count" : "several values";
    throw new UsageError(`--${option}: found it beside ${beside}, expected it with one --value only`);
  }
  if (lower !== null && upper !== null && lower >= upper) {
    throw new UsageError(`--upper: found ${upper}, expected a number above --lower, which is ${lower}`);
  }
  if (target !== null && (target < (lower ?? target) || target > (upper ?? target))) {
    throw new UsageError(`--target: found ${target}, expected a number between --lower and --upper`);
  }
}

function need(form: StudyForm | null, columns: Readonly<Record<string, string | null>>): void {
  const missing = Object.entries(columns).find(([, name]) => name === null);
  if (missing === undefined) return;
  const where =
    form === null
      ? Object.keys(columns)
          .map((one) => `--${one}`)
          .join(" and ")
      : `--chart ${form}`;
  throw new UsageError(`${where}: found no --${missing[0]}, expected the name of a column`);
}

function unwanted(option: string, beside: string, forms: readonly StudyForm[]): never {
  throw new UsageError(`--${option}: found it with ${beside}, expected it only with --chart ${forms.join(" or ")}`);
}

function isCountForm(form: StudyForm | null): boolean {
  return countForms.some((one) => one === form);
}

function isVectorForm(form: StudyForm | null): boolean {
  return vectorForms.some((one) => one === form);
}
