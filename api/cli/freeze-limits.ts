import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import { Fault } from "../../collector/platform/fault.ts";
import { productVersion } from "../../collector/platform/product-version.ts";
import { type JournalFile, openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import { limitsEntry, runEntryId } from "../../collector/store/entries.ts";
import type { Journal } from "../../collector/store/journal.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import { limitsWords } from "../limits-change.ts";
import { hostActor } from "../people/seed-accounts.ts";
import { type BaselineWindow, baselineProposal, stationRuns } from "./baseline-proposal.ts";
import { characteristicsOf } from "./characteristics-of.ts";
import { commandSite } from "./command-site.ts";
import { instantMs } from "./instant.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, counted, type Verb } from "./verb.ts";

export const freezeLimits: Verb = {
  form: "--all | --characteristic ID ... --from TIME --to TIME --proposed-by NAME --agreed-by NAME --reason TEXT",
  summary: "sets limits from a window of past runs, agreed by two people",
  help: `Estimates limits from the stored runs, imported ones too, whose end lies in FROM <= end < TO, prints them with what
they rest on, and puts them in force for the runs that come next. Once in force they never move by themselves; setting
them again makes a new revision and leaves the old one readable.

  --all, --characteristic ID   which charts (may be repeated), such as PR-01:mold.plateau
  --from, --to                 ISO 8601 with offset
  --proposed-by, --agreed-by   two different people
  --reason TEXT                why this window stands for normal running
  --basis chart|overall|recommended
                               sigma by the chart's own estimator (default), over all values, or over all values only
                               where runs lean on the ones before and no step explains it
  --exclude RUN=CAUSE          leaves a run out, with its recorded cause (may be repeated)
  --config, --data             default to STEADYPOUR_CONFIG and STEADYPOUR_DATA
  --dry-run                    prints only`,
  run: async (args, io) => {
    const request = requestOf(args);
    const environment = readEnvironment(process.env);
    const site = commandSite(request.config, environment);
    const wanted = chosen(characteristicsOf(site), request.characteristics);
    const file = openJournalFile(request.data ?? environment.dataFolder);
    const { journal } = file;
    try {
      checkExcluded(journal, request);
      const runs = stationRuns(journal, request);
      const sets: (() => void)[] = [];
      let refused = 0;
      let empty = 0;
      for (const characteristic of wanted) {
        const proposal = baselineProposal(runs, characteristic, request);
        if (!proposal.ok) {
          refused += 1;
          // Asked for all, a chart that nothing was written of is no news: they are told together.
          if (request.characteristics === "all" && proposal.refusal.has === 0) {
            empty += 1;
            continue;
          }
          io.print(`${characteristic.id}: no limits: ${proposal.refusal.detail}`);
          continue;
        }
        const { charts, location, spread, baseline, diagnostics } = proposal.value;
        const number = (value: number): string => value.toFixed(characteristic.digits + 1);
        const cautions = diagnostics.cautions.length === 0 ? "" : `, caution ${diagnostics.cautions.join(", ")}`;
        io.print(
          `${characteristic.id}: ${number(location.lower)} to ${number(location.upper)} ${characteristic.unit}, centre ` +
            `${number(location.centre)}; ${charts[1].replaceAll("-", " ")} up to ${number(spread.upper)}; ` +
            `${pointsWord(baseline.n, characteristic)}${cautions}`,
        );
        sets.push(() => append(file, characteristic, { ...proposal.value, ...request.signature }));
      }
      // All in one: hundreds of commits would each wait for the disk.
      if (!request.dryRun)
        journal.transaction(() => {
          for (const set of sets) set();
        });
      if (empty > 0) io.print(`${counted(empty, "chart")} without a value in that time: no limits`);
      const verb = request.dryRun ? "would be set" : "set";
      io.print(`${wanted.length - refused} of ${wanted.length} ${verb}`);
      if (refused === wanted.length) {
        throw new Fault("limits-refused", "no limits were set: each chart says why above", { retryable: false });
      }
    } finally {
      journal.close();
    }
  },
};

function pointsWord(n: number, { chart, subgroup }: Characteristic): string {
  const word = chart === "ewma" ? ", EWMA" : "";
  return subgroup === undefined ? `${n} runs${word}` : `${n} subgroups of ${subgroup.runs} runs${word}`;
}

/** A run left out by a name that is none would be in the baseline after all. */
function checkExcluded(
  journal: Journal,
  { excluded, fromMs, toMs }: Pick<BaselineWindow, "excluded" | "fromMs" | "toMs">,
): void {
  const mistakes = Object.keys(excluded).flatMap((run) => {
    const entry = journal.find(runEntryId(run));
    if (entry === undefined) return [`--exclude: found ${run}, expected a run that is stored`];
    const inside = fromMs <= entry.atMs && entry.atMs < toMs;
    return inside ? [] : [`--exclude: found ${run}, expected a run that ended between --from and --to`];
  });
  if (mistakes.length > 0) throw new UsageError(mistakes);
}

type Unnamed = Omit<LimitSet, "id" | "characteristic" | "revision" | "effectiveFromMs">;

function append({ journal, record }: JournalFile, characteristic: Characteristic, set: Unnamed): void {
  journal.transaction(() => {
    const former = journal.read({ kinds: ["limits"], subject: characteristic.id, newestFirst: true, limit: 1 })[0];
    const revision = former?.kind === "limits" ? former.body.revision + 1 : 1;
    const id = `${characteristic.id}@${revision}`;
    const effectiveFromMs = set.baseline.toMs;
    const body: LimitSet = { id, characteristic: characteristic.id, revision, effectiveFromMs, ...set };
    journal.append([limitsEntry(characteristic.station, body)]);
    record.append({
      ...{ kind: "limits-set", subject: characteristic.id, reason: set.reason, by: hostActor("command on this host") },
      old: former?.kind === "limits" ? limitsWords(former.body) : null,
      new: { proposedBy: set.proposedBy, agreedBy: set.agreedBy, ...limitsWords(body) },
    });
  });
}

function chosen(all: readonly Characteristic[], ids: readonly string[] | "all"): readonly Characteristic[] {
  if (ids === "all") return all;
  const unknown = ids.filter((id) => !all.some((one) => one.id === id));
  if (unknown.length > 0) {
    throw new UsageError(
      unknown.map((id) => `--characteristic: found ${id}, expected one of ${all.map((c) => c.id).join(", ")}`),
    );
  }
  return all.filter(({ id }) => ids.includes(id));
}

const bases = ["chart", "overall", "recommended"] as const;

function requestOf(args: readonly string[]) {
  const { values, words } = commandLine(args, {
    all: { type: "boolean" },
    characteristic: { type: "string", multiple: true },
    from: { type: "string" },
    to: { type: "string" },
    "proposed-by": { type: "string" },
    "agreed-by": { type: "string" },
    reason: { type: "string" },
    basis: { type: "string" },
    exclude: { type: "string", multiple: true },
    config: { type: "string" },
    data: { type: "string" },
    "dry-run": { type: "boolean" },
  });
  const mistakes: string[] = words.map((word) => `found ${word}, expected options only`);
  const text = (name: "proposed-by" | "agreed-by" | "reason"): string => {
    const given = values[name]?.trim() ?? "";
    if (given === "") mistakes.push(`--${name}: expected ${name === "reason" ? "a reason" : "a name"}`);
    return given;
  };
  const time = (name: "from" | "to"): number => {
    const given = values[name] ?? "";
    const ms = instantMs(given);
    if (ms === undefined) {
      const example = "a time with its offset, such as 2026-09-25T06:00:00Z";
      mistakes.push(`--${name}: found ${given || "nothing"}, expected ${example}`);
    }
    return ms ?? Number.NaN;
  };
  const [fromMs, toMs] = [time("from"), time("to")];
  if (fromMs >= toMs) mistakes.push("--to: expected a time after --from");
  const [proposedBy, agreedBy, reason] = [text("proposed-by"), text("agreed-by"), text("reason")];
  if (proposedBy !== "" && proposedBy.toLowerCase() === agreedBy.toLowerCase()) {
    mistakes.push(`--agreed-by: found ${agreedBy} again, expected a second person`);
  }
  const basis = bases.find((one) => one === (values.basis ?? "chart"));
  if (basis === undefined) mistakes.push(`--basis: found ${values.basis}, expected one of ${bases.join(", ")}`);
  const characteristics: readonly string[] | "all" = values.all === true ? "all" : (values.characteristic ?? []);
  if (characteristics.length === 0) mistakes.push("expected --all or --characteristic ID");
  const excluded = Object.fromEntries(
    (values.exclude ?? []).map((pair) => {
      const at = pair.indexOf("=");
      if (at <= 0 || pair.slice(at + 1).trim() === "") mistakes.push(`--exclude: found ${pair}, expected RUN=CAUSE`);
      return [pair.slice(0, at), pair.slice(at + 1).trim()];
    }),
  );
  if (mistakes.length > 0) throw new UsageError(mistakes);
  const signature = { proposedBy, agreedBy, reason, frozenAtMs: systemClock.nowMs(), engine: productVersion() };
  const { config, data } = values;
  return {
    fromMs,
    toMs,
    basis: basis ?? "chart",
    excluded,
    characteristics,
    signature,
    config,
    data,
    dryRun: values["dry-run"] === true,
  };
}
