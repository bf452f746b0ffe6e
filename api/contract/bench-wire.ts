import { z } from "zod";
import { roles } from "../../spc/model/role.ts";
import { ruleIds } from "../../spc/rules/rule-ids.ts";
import { bothOrNeither, bothWords, idText, signature } from "./query.ts";
import {
  capabilitySchema,
  chartKindSchema,
  chartPointSchema,
  flagSchema,
  limitSetSchema,
  limitsSchema,
  pointSchema,
  refusalSchema,
  specificationSchema,
} from "./wire.ts";

/** What crosses the wire for the Chart Bench, the Limits Book and proposals. As in `wire.ts`: UTC, UCUM, unrounded. */
const instant = z.iso.datetime();
const maybeNumber = z.number().nullable();
const ruleName = z.enum(ruleIds, `one of ${ruleIds.join(", ")}`);
const words = (most: number) =>
  z.string(`a text of 1 to ${most} characters`).trim().min(1, "some words").max(most, `at most ${most} characters`);
const instantIn = z.iso.datetime({ offset: true, error: "an instant such as 2026-11-25T08:05:12.345Z" });

/** Runs that one window may hold. */
export const mostWindowRuns = 1_000;

const cautionSchema = z.object({ code: z.string(), text: z.string() });
const personRefSchema = z.object({ id: z.string(), name: z.string() });

/** Enough of a characteristic to name it and to write its numbers. */
export const chartHeadSchema = z.object({
  id: z.string(),
  station: z.string(),
  stage: z.string(),
  line: z.string(),
  name: z.string(),
  part: z.string().nullable(),
  unit: z.string(),
  digits: z.number().int(),
  runWord: z.string(),
});

/** A run may be left out only with all three; who and when are added when limits are proposed. */
const exclusionAskSchema = z.strictObject({ run: idText, cause: words(80), evidence: words(300), action: words(300) });

/** `from` and `to` (runs that ended in from <= t < to), or the newest `last` runs, up to `to` where that is given. */
const windowAskSchema = z
  .strictObject({
    from: instantIn.optional(),
    to: instantIn.optional(),
    last: z.int().min(1).max(mostWindowRuns).optional(),
  })
  .refine(
    ({ from, to, last }) => (last === undefined ? from !== undefined && to !== undefined : from === undefined),
    "from and to, or last, or last and to",
  )
  .refine(
    ({ from, to }) => from === undefined || to === undefined || Date.parse(from) < Date.parse(to),
    "a to after the from",
  );

const askShape = {
  window: windowAskSchema,
  /** `chart`: the chart's own estimator; `overall`: s over all values, for neighbours that depend on each other. */
  basis: z.enum(["chart", "overall"], "chart or overall").default("chart"),
  /** Those of the settings unless given. */
  rules: z.array(ruleName).min(1).max(ruleIds.length).optional(),
  exclusions: z.array(exclusionAskSchema).max(40).default([]),
};

export const trialAskSchema = z.strictObject(askShape);

export const replayAskSchema = z.strictObject({
  ...askShape,
  /** Runs to judge by the limits asked about: all after the window unless given. */
  span: z.strictObject({ from: instantIn, to: instantIn }).optional(),
});

export const proposeAskSchema = z
  .strictObject({
    ...askShape,
    ...signature,
    characteristic: idText,
    /** From the trial that was looked at: other numbers than those shown are never proposed. */
    fingerprint: z.string().max(100),
    reason: words(500),
  })
  .refine(bothOrNeither, bothWords);
export const agreeAskSchema = z.strictObject(signature).refine(bothOrNeither, bothWords);
export const withdrawAskSchema = z.strictObject({ ...signature, reason: words(500) }).refine(bothOrNeither, bothWords);

export const peopleSchema = z.object({
  items: z.array(personRefSchema.extend({ role: z.enum(roles), hasPin: z.boolean() })),
});

const patternSchema = z.object({
  rule: z.string(),
  on: z.enum(["location", "spread"]),
  side: z.enum(["above", "below", "both"]),
  /** Runs of the pattern, oldest first; the newest is the point itself. */
  members: z.array(z.string()),
});

/** A point as one choice of limits judges it. */
const judgedSchema = z.object({
  location: chartPointSchema,
  spread: chartPointSchema,
  signals: z.array(patternSchema),
});

const trialPointSchema = z.object({
  run: z.string(),
  at: instant,
  imported: z.boolean(),
  /** Too much time, or too many missing points, lie before it: no line is drawn to it and patterns start anew. */
  anew: z.boolean(),
  value: maybeNumber,
  refusal: refusalSchema.optional(),
  /** Runs of a subgroup, oldest first; its average stands as the value. Left out where a point is one run. */
  members: z.array(z.object({ run: z.string(), at: instant, value: maybeNumber })).optional(),
  excluded: z.boolean(),
  /** Beyond two sigma of the trial centre: to look at, never a reason to leave it out. */
  lookAt: z.boolean(),
  trial: judgedSchema,
  /** Null while nothing is left out. */
  revised: judgedSchema.nullable(),
});

/** What limits rest on. */
const restsOnSchema = z.object({
  n: z.number().int(),
  from: instant,
  to: instant,
  imported: z.number().int(),
  excluded: z.number().int(),
  estimator: z.string(),
  sigmaWithin: z.number(),
  sigmaOverall: z.number(),
  lag1: z.number(),
  lag1Band: z.tuple([z.number(), z.number()]),
  distinctValues: z.number().int(),
});

/** How often chance alone signals, with nothing wrong: by the location chart unless said. */
const chanceSchema = z.object({
  rules: z.array(z.string()),
  pointsAWeek: z.number(),
  /** Why no rate is told; null where one is, and in proposals from before rates could be untold. */
  untold: refusalSchema.nullable().default(null),
  /** Once in so many points, were centre and sigma known; a standard error stands where it was simulated. */
  onceIn: maybeNumber,
  standardError: maybeNumber,
  aWeek: maybeNumber,
  /** By both charts together, which is what people see; `approximate` where they are reckoned as if apart. */
  pair: z.object({ onceIn: maybeNumber, aWeek: maybeNumber, method: z.enum(["exact", "approximate"]) }),
  /**
   * What limits from so few points may turn out to be worth, in points to a chance signal: one baseline in ten lies
   * below `tenth`, one in ten above `ninetieth`. Of `rules`: all, or the limits alone where all would take too long.
   */
  range: z.union([
    z.object({ rules: z.array(z.string()), tenth: z.number(), median: z.number(), ninetieth: z.number() }),
    z.object({ rules: z.array(z.string()), refusal: refusalSchema }),
  ]),
});

/** Limits from one choice of points. */
const trialSideSchema = z.object({
  location: limitsSchema,
  spread: limitsSchema,
  restsOn: restsOnSchema,
  cautions: z.array(cautionSchema),
  /** Points that signal against these limits, and those among them without a recorded cause. */
  signals: z.number().int(),
  unexplained: z.number().int(),
});

const changeSchema = z.object({
  /** First run of the new level. */
  run: z.string(),
  at: instant,
  /** Level before it: that of the window's earlier part, or the centre in force. */
  before: z.number(),
  after: z.number(),
  /** Runs that may be the first of the new level, oldest first. */
  set: z.array(z.string()),
  cautions: z.array(cautionSchema),
});
const maybeChange = z.union([changeSchema, z.object({ refusal: refusalSchema })]);

export const trialSchema = z.object({
  characteristic: chartHeadSchema,
  charts: z.array(z.string()),
  basis: z.enum(["chart", "overall"]),
  rules: z.array(z.string()),
  k: z.number(),
  /** As it came out: `last` is written as times, so that the same window can be asked for again. */
  window: z.object({ from: instant, to: instant, runs: z.number().int(), values: z.number().int() }),
  points: z.array(trialPointSchema),
  trial: z.union([trialSideSchema, z.object({ refusal: refusalSchema })]),
  revised: z.union([trialSideSchema, z.object({ refusal: refusalSchema })]).nullable(),
  /** Of the newest limits; null where they are refused. */
  chance: chanceSchema.nullable(),
  /** Of the window: the spread signals, too many left out, what was seen on the way. */
  cautions: z.array(cautionSchema),
  /** Whether the window's points run at two levels. */
  change: maybeChange,
  capability: capabilitySchema,
  inForce: limitSetSchema.nullable(),
  /** To be sent with a proposal of these limits; null where they cannot be proposed. */
  fingerprint: z.string().nullable(),
});

const replaySideSchema = z.object({
  /** Runs that signal, and how often each rule did. */
  runs: z.number().int(),
  byRule: z.array(z.object({ rule: z.string(), on: z.enum(["location", "spread"]), count: z.number().int() })),
});

const replaySummarySchema = z.object({
  from: instant,
  to: instant,
  runs: z.number().int(),
  values: z.number().int(),
  proposed: replaySideSchema,
  /** What the limits that ruled then did signal; imported runs never signalled. */
  inForce: replaySideSchema,
  both: z.number().int(),
  /** Runs that chance alone would have flagged by the proposed limits; null where there is no price. */
  byChance: maybeNumber,
});

const hitSchema = z.object({ rule: z.string(), on: z.enum(["location", "spread"]), side: z.enum(["above", "below"]) });

export const replaySchema = z.union([
  replaySummarySchema.extend({
    /** Newest first, at most 200. */
    items: z.array(
      z.object({
        run: z.string(),
        at: instant,
        imported: z.boolean(),
        value: maybeNumber,
        proposed: z.array(hitSchema),
        inForce: z.array(hitSchema),
      }),
    ),
    leftOff: z.number().int(),
  }),
  z.object({ refusal: refusalSchema }),
]);

/** Limits as they would rule, or do: all of a set but its name and its people. */
const proposedLimitsSchema = limitSetSchema
  .pick({
    ...{ basis: true, charts: true, location: true, spread: true, scheme: true, estimator: true, k: true, rules: true },
    ...{ baseline: true, diagnostics: true },
  })
  .extend({ unit: z.string() });

const exclusionSchema = z.object({
  run: z.string(),
  cause: z.string(),
  evidence: z.string(),
  action: z.string(),
  by: z.string(),
  at: instant,
});

export const proposalSchema = z.object({
  id: z.string(),
  /** Small number for people, counted by characteristic. */
  number: z.number().int(),
  characteristic: chartHeadSchema,
  /** `stale`: other limits came into force since, so it can no longer be agreed. */
  state: z.enum(["open", "stale", "agreed", "withdrawn"]),
  limits: proposedLimitsSchema,
  window: z.object({ from: instant, to: instant }),
  exclusions: z.array(exclusionSchema),
  /** What stood on the screen when it was proposed. */
  shown: z.object({
    restsOn: restsOnSchema,
    chance: chanceSchema,
    cautions: z.array(cautionSchema),
    signals: z.number().int(),
    unexplained: z.number().int(),
    replay: replaySummarySchema.nullable(),
  }),
  /** Limit set that it would follow; null where it would be the first. */
  follows: z.string().nullable(),
  reason: z.string(),
  proposed: z.object({ by: personRefSchema, at: instant }),
  agreed: z.object({ by: personRefSchema, at: instant, limitSet: z.string() }).nullable(),
  withdrawn: z.object({ by: personRefSchema, at: instant, reason: z.string() }).nullable(),
});

/** One limit set, or an open proposal, as the Limits Book lists it. */
const bookedSetSchema = z.object({
  /** `trial`: proposed. `working`: in force. `waiting`: agreed, but its time has not come. `retired`: followed by another. */
  state: z.enum(["trial", "working", "waiting", "retired"]),
  /** Id of the limit set, or of the proposal. */
  id: z.string(),
  revision: z.number().int().nullable(),
  limits: proposedLimitsSchema,
  proposedBy: z.string(),
  agreedBy: z.string().nullable(),
  /** When it was proposed, or put in force. */
  at: instant,
  effectiveFrom: instant.nullable(),
  /** When the next one followed it. */
  until: instant.nullable(),
  ageDays: z.number(),
  reason: z.string(),
  cautions: z.array(cautionSchema),
  /** Why it should be looked at again. */
  stale: z.array(cautionSchema),
});

export const bookedSchema = z.object({
  characteristic: chartHeadSchema,
  /** Newest first: trial ones, then the working one, then retired ones. */
  sets: z.array(bookedSetSchema),
  /** Null once limits are in force: how many runs there are of those that limits need. */
  missing: z.object({ has: z.number().int(), needs: z.number().int() }).nullable(),
});

export const benchListSchema = z.object({
  now: instant,
  /**
   * By need: open flags by label, signals in the last week, limits to look at again, those that could have limits, the
   * rest by distance to the nearer limit, and those that cannot have any yet.
   */
  items: z.array(
    z.object({
      characteristic: chartHeadSchema,
      need: z.enum(["open-flag", "signals", "stale-limits", "without-limits", "none"]),
      flag: flagSchema.pick({ id: true, number: true, label: true, state: true, says: true }).nullable(),
      /** Points with a signal in the last seven days. */
      signalsLastWeek: z.number().int(),
      stale: z.array(cautionSchema),
      limits: limitsSchema.extend({ id: z.string(), revision: z.number().int() }).nullable(),
      missing: z.object({ has: z.number().int(), needs: z.number().int() }).nullable(),
      latest: z
        .object({
          run: z.string(),
          at: instant,
          value: maybeNumber,
          verdict: chartPointSchema.shape.verdict,
          z: maybeNumber,
        })
        .nullable(),
      /** Newest values of the location chart, oldest first, at most 30; null where a point has none. */
      ruler: z.array(maybeNumber),
      proposals: z.number().int(),
    }),
  ),
});

const benchPointSchema = pointSchema.omit({ characteristic: true }).extend({ anew: z.boolean() });

const rulePriceSchema = z.object({
  rule: z.string(),
  on: z.boolean(),
  /** False where the chart or its basis does not take the rule: it would open no flag. */
  taken: z.boolean(),
  /** Points to a chance signal of this rule alone. */
  onceIn: maybeNumber,
  /** Chance flags a week of the location chart with this rule beside those that are on, and without it. */
  withIt: maybeNumber,
  withoutIt: maybeNumber,
  /** Of either number, where one was simulated. */
  standardError: maybeNumber,
  /** The same of both charts together, which is what people see; what the spread adds now is taken to stay. */
  pairWithIt: maybeNumber,
  pairWithoutIt: maybeNumber,
});

export const benchSchema = z.object({
  now: instant,
  characteristic: chartHeadSchema,
  charts: z.array(z.string()),
  chart: chartKindSchema,
  /** Runs of a full subgroup; 1 where every run is a point. */
  subgroup: z.number().int(),
  quantity: z.string(),
  reference: z.string().nullable(),
  specification: specificationSchema.nullable(),
  everyMs: z.number(),
  /** What is drawn: at most 1,000 points, the newest of what was asked for. */
  span: z.object({ from: instant.nullable(), to: instant.nullable(), leftOff: z.boolean() }),
  /** Stretches under one limit set, oldest first; imported runs are drawn against the limits in force. */
  phases: z.array(
    z.object({
      limits: limitSetSchema.nullable(),
      imported: z.boolean(),
      from: z.object({ run: z.string(), at: instant }),
      to: z.object({ run: z.string(), at: instant }),
      points: z.number().int(),
    }),
  ),
  /** Oldest first. */
  points: z.array(benchPointSchema),
  /** Stretches without points, or with points that have no value. */
  gaps: z.array(
    z.object({
      kind: z.enum(["no-runs", "no-value"]),
      /** Points beside a gap of runs; first and last point without a value. */
      from: z.object({ run: z.string(), at: instant }),
      to: z.object({ run: z.string(), at: instant }),
      reason: refusalSchema,
    }),
  ),
  /** Runs that a drawn limit set leaves out. Only a cause is known of those that no proposal led to. */
  exclusions: z.array(
    exclusionSchema.partial({ evidence: true, action: true, by: true, at: true }).extend({ limitSet: z.string() }),
  ),
  /** Flags with a run among the points, oldest first. */
  flags: z.array(flagSchema),
  signals: z.array(
    z.object({
      id: z.string(),
      rule: z.string(),
      on: z.enum(["location", "spread", "specification"]),
      side: z.enum(["above", "below"]),
      run: z.string(),
      /** Oldest first; a bracket spans from the first to the last. */
      members: z.array(z.string()),
      value: z.number(),
      line: z.number(),
      z: maybeNumber,
      flag: z.string(),
      limitSet: z.string().nullable(),
    }),
  ),
  /** Since when the process has been off, for the open flag; null where none is open. */
  change: z.object({ flag: z.string(), found: maybeChange }).nullable(),
  /** Causes that flags were closed with, at the point after which they were. */
  causes: z.array(
    z.object({
      flag: z.string(),
      number: z.number().int(),
      afterRun: z.string().nullable(),
      at: instant,
      by: z.string(),
      cause: z.string(),
      note: z.string(),
    }),
  ),
  /** Of the limits in force; null without. */
  chance: chanceSchema.nullable(),
  cautions: z.array(cautionSchema),
  stale: z.array(cautionSchema),
  price: z.array(rulePriceSchema),
  pointsAWeek: z.number(),
  capability: capabilitySchema,
  limits: limitSetSchema.nullable(),
  missing: z.object({ has: z.number().int(), needs: z.number().int() }).nullable(),
  proposals: z.array(proposalSchema),
});

export type WirePeople = z.infer<typeof peopleSchema>;
export type WireChartHead = z.infer<typeof chartHeadSchema>;
export type WireCaution = z.infer<typeof cautionSchema>;
export type WireTrial = z.infer<typeof trialSchema>;
export type WireTrialPoint = z.infer<typeof trialPointSchema>;
export type WireTrialSide = z.infer<typeof trialSideSchema>;
export type WireRestsOn = z.infer<typeof restsOnSchema>;
export type WireChance = z.infer<typeof chanceSchema>;
export type WireChange = z.infer<typeof maybeChange>;
export type WireReplay = z.infer<typeof replaySchema>;
export type WireReplaySummary = z.infer<typeof replaySummarySchema>;
export type WireProposedLimits = z.infer<typeof proposedLimitsSchema>;
export type WireProposal = z.infer<typeof proposalSchema>;
export type WireBooked = z.infer<typeof bookedSchema>;
export type WireBookedSet = z.infer<typeof bookedSetSchema>;
export type WireBenchList = z.infer<typeof benchListSchema>;
export type WireBench = z.infer<typeof benchSchema>;
export type WireRulePrice = z.infer<typeof rulePriceSchema>;
export type TrialAsk = z.output<typeof trialAskSchema>;
