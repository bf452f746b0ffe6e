import { z } from "zod";
import { usualEwma } from "../../../spc/model/characteristic.ts";
import { ruleIds } from "../../../spc/rules/rule-ids.ts";
import { weekdays } from "../../../spc/segment/working-time.ts";
import { quantities } from "../../../spc/units/quantity.ts";
import { brokerSchema } from "./broker-schema.ts";
import { doorsSchema } from "./doors-schema.ts";
import { freeDaysSchema } from "./free-days.ts";
import { influxSchema } from "./influx-schema.ts";
import { calibratedSchema, instrumentSchema, supplySchema } from "./instrument-schema.ts";
import { messagesSchema, personSchema } from "./people-schema.ts";
import { diskBudgetSchema, retentionSchema } from "./retention-schema.ts";
import { duration, id, ucum, words } from "./schema-parts.ts";
import { sourceSchema } from "./source-schema.ts";

const durationOrNone = z
  .string()
  .regex(/^\d+(\.\d+)?\s?(ms|s|min|h|d)$/, "a duration such as 0 s, 500 ms, 30 s, 5 min");
const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, "a time of day such as 06:00");
const limit = z.number();

const quantitySchema = z.enum(quantities);

const seriesSchema = z.strictObject({
  kind: z.enum(["reading", "waveform", "event"]).default("reading"),
  quantity: z.string().min(1).max(48),
  reference: z.enum(["gauge", "absolute", "rms", "peak", "difference"]).optional(),
  unit: ucum,
  /** Spacing at all times; left out where nothing is sent between runs. For events: how often the state is repeated. */
  every: duration.optional(),
  /** Spacing while a run is open, where it is another, or where nothing is sent between runs. */
  everyInRun: duration.optional(),
  /** Smallest step of the instrument, in `unit`. */
  resolution: z.number().positive().optional(),
  /**
   * Of an event series: what its attributes say (part, tool, medium) holds for the runs that begin later, until the next such
   * event says otherwise. Left out, they speak of the run that is open.
   */
  holds: z.boolean().optional(),
  instrument: instrumentSchema.optional(),
});

/** Longest silence of the whole station inside a run; left out, a tenth of the timeout. */
const gapSetting = duration.optional();

/** A level that a value passes: one of `above` and `below`, in the unit of the series. */
const levelStep = {
  above: z.number().optional(),
  below: z.number().optional(),
  /** Where the step begins once the level has proved it; left out, at the level. */
  from: z.number().optional(),
  /** How long the value must stay beyond the level. */
  hold: durationOrNone.default("0 s"),
};

const segmenterSchema = z.discriminatedUnion("by", [
  z.strictObject({
    by: z.literal("state-signal"),
    /** Role of the event series that carries the state number. */
    role: words,
    /** State number to segment name, in the order of the cycle. */
    states: z.record(z.string().regex(/^\d+$/), words),
    opensAt: z.number().int(),
    /** The state that ends the run: it is not part of it. */
    closesAt: z.number().int(),
    timeout: duration,
    gap: gapSetting,
  }),
  z.strictObject({
    by: z.literal("threshold"),
    role: words,
    opensAbove: z.number(),
    closesBelow: z.number(),
    /** How long the value must stay beyond before the run opens or closes. */
    hold: duration,
    timeout: duration,
    gap: gapSetting,
  }),
  z.strictObject({
    by: z.literal("marker"),
    /** Role of an event series: 1 opens, 0 closes. */
    role: words,
    timeout: duration,
    gap: gapSetting,
  }),
  z.strictObject({
    by: z.literal("clock"),
    /** Length of a run, counted from each start of a shift, or from midnight at a site without shifts. */
    every: duration,
  }),
  z.strictObject({
    by: z.literal("change"),
    /** Role of an event series. */
    role: words,
    /** Attribute that names what runs: a run lasts while it stays the same. */
    key: words,
    /** State that ends the run at once. */
    closesAt: z.number().int().optional(),
    /** So long after its last event a run has ended there; left out, it lasts until the next name comes. */
    idle: duration.optional(),
    timeout: duration,
    gap: gapSetting,
  }),
  z.strictObject({
    by: z.literal("items"),
    /** Role of an event series: 1 brings an item in, 0 takes it out. */
    role: words,
    /** Attribute that tells apart what is there at once. */
    key: words,
    opensAt: z.number().int().default(1),
    closesAt: z.number().int().default(0),
    /** Most items there at once. */
    most: z.number().int().min(1).max(5000).default(500),
    timeout: duration,
    gap: gapSetting,
  }),
  z.strictObject({
    by: z.literal("sequence"),
    /** Role of a reading whose levels tell the steps. */
    role: words,
    /** In the order in which they come; one without a name belongs to the run and to no segment. */
    steps: z
      .array(z.strictObject({ ...levelStep, name: words.optional() }))
      .min(1)
      .max(32),
    /** What ends the run. */
    ends: z.strictObject(levelStep),
    timeout: duration,
    gap: gapSetting,
  }),
]);

const policySchema = z.strictObject({
  rule: z.enum([...ruleIds, "outside-specification"]),
  side: z.enum(["above", "below"]).optional(),
  on: z.enum(["location", "spread", "specification"]).optional(),
  /** `instrument-fault`: what moves here is an instrument, and no number of the process. */
  label: z.enum(["act-now", "look", "for-review", "instrument-fault"]),
  doFirst: z.string().trim().min(1).max(80).optional(),
  says: z.string().trim().min(1).max(40).optional(),
});

const specificationSchema = z
  .strictObject({
    lower: limit.optional(),
    upper: limit.optional(),
    target: limit.optional(),
    /** UCUM code of the numbers above: that of the feature, written out so that nobody has to guess. */
    unit: ucum,
    /** Where the numbers come from: control plan, equipment physics, trial, supplier, habit. */
    origin: z.string().trim().min(1).max(120),
  })
  .refine((s) => s.lower !== undefined || s.upper !== undefined || s.target !== undefined, {
    message: "at least one of lower, upper, target",
  })
  .refine((s) => s.lower === undefined || s.upper === undefined || s.lower < s.upper, {
    message: "a lower limit below the upper one",
  });

const byHandSchema = z.strictObject({
  /** UCUM code that stands beside the field. */
  unit: ucum,
  /** Fields in one entry: so many pieces are measured at a time, and each is a run of its own. */
  values: z.number().int().min(1).max(25).default(1),
  /** Beyond these the person is asked whether it is so. Nothing is refused for it. */
  plausible: z
    .strictObject({ lower: limit, upper: limit })
    .refine((s) => s.lower < s.upper, { message: "a lower bound below the upper one" })
    .optional(),
  /** How it is measured, in the words of the plant's own instruction. */
  how: z.string().trim().min(1).max(160).optional(),
});

const characteristicSchema = z.strictObject({
  /** Feature id, such as `mold.plateau`; of a value written down by hand the plant's own, such as `bead.density`. */
  feature: words,
  name: words,
  quantity: quantitySchema,
  reference: z.enum(["gauge", "absolute", "rms", "peak", "difference"]).optional(),
  digits: z.number().int().min(0).max(6),
  chart: z.enum(["individuals", "averages-with-s", "ewma"]).default("individuals"),
  /**
   * Consecutive runs that are judged together: a new group begins after a gap, and where one of `anewWith` changes in the
   * runs' context. Where parts take turns from run to run, `[tool]` or `[]` keeps them together.
   */
  subgroup: z
    .strictObject({
      runs: z.number().int().min(2).max(25),
      anewWith: z.array(words).max(8).default(["part", "tool"]),
    })
    .optional(),
  /**
   * Without a subgroup: what of the runs' context begins the moving range anew where it changes. Left out, part and tool; of
   * deviations the tool. Where parts take turns from run to run and share a chart, `[tool]` or `[]`.
   */
  anewWith: z.array(words).max(8).optional(),
  /** Weight of the newest point, and half-width of the limits in sigma of the EWMA. */
  ewma: z
    .strictObject({
      lambda: z.number().min(0.01).max(1).default(usualEwma.lambda),
      width: z.number().min(1).max(6).default(usualEwma.width),
    })
    .optional(),
  /** Left out: beyond-limit, and nine-on-one-side where the chart takes it. */
  rules: z.array(z.enum(ruleIds)).optional(),
  /** Of single values: whether their moving range opens flags, or is drawn alone. Left out, as the site's `movingRanges`. */
  movingRange: z.enum(["flags", "drawn"]).optional(),
  /** Numbers of the feature, such as `{ threshold: 0.8 }`. */
  settings: z.record(z.string(), z.number()).default({}),
  /**
   * One chart for each part, or part and tool, or filling medium, from the run's context; `parts` may give each part its own
   * specification. `byPart: true` says the same as `by: [part]`.
   */
  by: z.array(words).max(4).optional(),
  byPart: z.boolean().default(false),
  /**
   * What stands on the chart: the value; how far it lies from its part's `target`, so that parts share one chart; or that
   * over its part's `sigma`. The specification is then one of the deviation.
   */
  as: z.enum(["value", "deviation", "z"]).default("value"),
  specification: specificationSchema.optional(),
  parts: z
    .record(
      id,
      z.strictObject({
        specification: specificationSchema.optional(),
        /** In the unit of the feature. */
        target: limit.optional(),
        sigma: z.number().positive().optional(),
      }),
    )
    .default({}),
  every: duration,
  main: z.boolean().default(false),
  /** A value that a person weighs, times or reads and writes down: no sensor and no run stands behind it. */
  byHand: byHandSchema.optional(),
  /** Where the numbers of this row come from, its specification's among them, and how far they are to be trusted. */
  source: z.string().trim().min(1).max(160).optional(),
  confidence: z.enum(["low", "medium", "high"]).optional(),
  signals: z.array(policySchema).default([]),
});

/** One word of a run's context that a person may say, by a form or a scanner. */
const contextWordSchema = z.strictObject({
  /** What stands beside its field. */
  name: words,
  /** What may be said; left out, any word. */
  choices: z.array(z.string().trim().min(1).max(60)).min(1).max(200).optional(),
  /** How its codes begin, so that a scanner's code finds its field: `LOT-`. */
  prefix: z.string().trim().min(1).max(20).optional(),
});

export const stationKindSchema = z.strictObject({
  /** Heading on the Floor, in process order of `stages`. */
  stage: words,
  /** What one run is called: shot, load, flask, pour. */
  runWord: words,
  /** By role, which is what the series is to the segmenter and the features: `pressure`, `supply-rh`. */
  series: z.record(id, seriesSchema),
  /** Roles that each station of the kind borrows from another station: it says from which under its own `borrows`. */
  borrows: z.array(id).default([]),
  segmenter: segmenterSchema,
  /** What a person may say is set up there, by the word of a run's context: `part`, `tool`, `lot`. */
  context: z.record(id, contextWordSchema).default({}),
  /** None yet: its runs are cut and shown, and nothing is charted. */
  characteristics: z.array(characteristicSchema).default([]),
  /** Further kinds of run at the same station, cut beside the first: the ladle of several pours, the hour of several dips. */
  moreRuns: z
    .array(
      z.strictObject({
        /** Stands in the ids of its runs. */
        id: id,
        runWord: words,
        segmenter: segmenterSchema,
        /** Attribute of the runs inside by which they become its segments: `position` makes `pour-1`, `pour-2`. */
        segmentsBy: words.optional(),
        characteristics: z.array(characteristicSchema).default([]),
      }),
    )
    .max(8)
    .default([]),
});

const lentSchema = z.string().regex(/^[A-Za-z0-9][A-Za-z0-9_.-]*\/[A-Za-z0-9][A-Za-z0-9_.-]*$/, "STATION/role");

export const stationSchema = z.strictObject({
  id,
  kind: id,
  line: id,
  /** Source that sends this station's series. */
  source: id,
  /**
   * Series of other stations that features here read under a role of their own: `chem-si: FU-A1/chem-si`. Where it depends on
   * the run, by a word of its context: `chem-si: { by: furnace, from: { FU-F1: FU-F1/chem-si, FU-F2: FU-F2/chem-si } }`.
   */
  borrows: z
    .record(id, z.union([lentSchema, z.strictObject({ by: words, from: z.record(words, lentSchema) })]))
    .default({}),
  /** Supplies that it shares with others. */
  fedBy: z.array(id).max(8).default([]),
  calibrated: calibratedSchema.default({}),
});

/** One site, whole. Cross-checks between parts (a station's kind exists) are in `check.ts`. */
export const settingsSchema = z.strictObject({
  site: z.strictObject({
    name: words,
    /** IANA time zone of the site. */
    zone: z.string().min(1),
    ambientPressureHpa: z.number().min(500).max(1100),
    ambientPressureOrigin: z.string().trim().min(1).max(120),
  }),
  /** Each lasts until the next begins. `days`: those on which it begins, every day where none are told; between shifts that work nothing runs. */
  shifts: z
    .array(z.strictObject({ name: words, from: clockTime, days: z.array(z.enum(weekdays)).min(1).optional() }))
    .default([]),
  /** Days on which no shift begins, whatever its `days`: holidays, and weeks in which the works is shut. */
  freeDays: z.array(freeDaysSchema).max(200).default([]),
  /**
   * Whether moving ranges of single values open flags. A shift moves the values themselves; their moving range adds one chance
   * signal in about a hundred points, where its limits add one in 370.
   */
  movingRanges: z.enum(["flags", "drawn"]).default("flags"),
  /** How far a reading may lag behind its source's newest and still be put in order. */
  lateness: durationOrNone.default("30 s"),
  lines: z.array(z.strictObject({ id, name: words })).default([]),
  /** Headings of the Floor, in process order. */
  stages: z.array(words).default([]),
  sources: z.array(sourceSchema).default([]),
  /** Left out, the embedded broker. */
  broker: brokerSchema.optional(),
  /** Left out, readings are kept here alone. */
  influx: influxSchema.optional(),
  /** What feeds several stations beside their gateways, so that one cause of many flags is told once. */
  supplies: z.array(supplySchema).default([]),
  stationKinds: z.record(id, stationKindSchema).default({}),
  stations: z.array(stationSchema).default([]),
  /** First accounts, and who is sent messages when. */
  persons: z.array(personSchema).default([]),
  messages: messagesSchema.optional(),
  /** Who is let in without an account, and who may send. */
  doors: doorsSchema.optional(),
  /** How long readings are kept; left out, for ever. */
  retention: retentionSchema.optional(),
  diskBudget: diskBudgetSchema.optional(),
  /** Short list of causes offered when a flag is done; `no cause found` is always among them. */
  causes: z.array(words).default([]),
});

export type Settings = z.infer<typeof settingsSchema>;
export type SegmenterSettings = z.infer<typeof segmenterSchema>;
export type StationKind = z.infer<typeof stationKindSchema>;

/** Milliseconds of a duration the schema has accepted. */
export function durationMs(text: string): number {
  const match = /^(\d+(?:\.\d+)?)\s?(ms|s|min|h|d)$/.exec(text);
  if (match === null) throw new RangeError(`not a duration: ${text}`);
  const unitMs = { ms: 1, s: 1e3, min: 6e4, h: 3.6e6, d: 8.64e7 }[match[2] as "ms" | "s" | "min" | "h" | "d"];
  return Number(match[1]) * unitMs;
}
