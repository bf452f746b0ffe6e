import { z } from "zod";
import { quantities } from "../../spc/units/quantity.ts";
import { writtenSchema } from "./hand-wire.ts";
import { bothOrNeither, bothWords, signature } from "./query.ts";

/**
 * What crosses the wire between api and pages. Times are ISO 8601 in UTC with milliseconds; numbers are unrounded;
 * units are UCUM codes. The OpenAPI document is made from these very schemas.
 */
const instant = z.iso.datetime();
const maybeNumber = z.number().nullable();

export const refusalSchema = z.object({
  code: z.string(),
  detail: z.string(),
  needs: z.number().optional(),
  has: z.number().optional(),
});

export const limitsSchema = z.object({ centre: z.number(), lower: z.number(), upper: z.number(), sigma: z.number() });

export const limitSetSchema = z.object({
  id: z.string(),
  revision: z.number().int(),
  basis: z.enum(["chart", "overall"]),
  charts: z.array(z.string()),
  location: limitsSchema,
  spread: limitsSchema,
  /**
   * What the lines of single points follow from; left out for individuals. `location` and `spread` are the lines of a
   * full subgroup, and of an EWMA those where they settle.
   */
  scheme: z
    .object({
      runs: z.number().int(),
      sigma: z.number(),
      sigmaWithin: z.number(),
      ewma: z
        .object({
          lambda: z.number(),
          width: z.number(),
          alike: z.boolean(),
          share: z.number(),
          phi: z.number(),
        })
        .optional(),
    })
    .optional(),
  estimator: z.string(),
  k: z.number(),
  rules: z.array(z.string()),
  baseline: z.object({
    from: instant,
    to: instant,
    n: z.number().int(),
    imported: z.number().int(),
    excluded: z.record(z.string(), z.string()),
  }),
  diagnostics: z.object({
    sigmaWithin: z.number(),
    sigmaOverall: z.number(),
    lag1: z.number(),
    lag1Band: z.tuple([z.number(), z.number()]),
    distinctValues: z.number().int(),
    cautions: z.array(z.string()),
  }),
  effectiveFrom: instant,
  frozenAt: instant,
  proposedBy: z.string(),
  agreedBy: z.string(),
  reason: z.string(),
  engine: z.string(),
});

export const chartPointSchema = z.object({
  value: maybeNumber,
  centre: maybeNumber,
  lower: maybeNumber,
  upper: maybeNumber,
  verdict: z.enum(["within", "above", "below", "not-evaluable"]),
});

/** One point of a chart pair. */
export const pointSchema = z.object({
  characteristic: z.string(),
  run: z.string(),
  /** Place among streamed points; negative for imported ones, which come before. */
  subgroup: z.number().int(),
  at: instant,
  imported: z.boolean(),
  limitSet: z.string().nullable(),
  location: chartPointSchema,
  spread: chartPointSchema,
  refusal: refusalSchema.optional(),
  /** Its runs, oldest first, and what each gave; left out where the point is one run and its value is plotted. */
  members: z.array(z.object({ run: z.string(), at: instant, value: maybeNumber })).optional(),
  /** Why its subgroup ended before it was full: silence, another part or tool, a flag that was done. */
  shortBy: z.enum(["gap", "change", "done"]).optional(),
  /** Run rules whose pattern it completes, and which open no flag because neighbours depend on each other. */
  silenced: z.array(z.object({ rule: z.string(), side: z.enum(["above", "below"]) })).optional(),
  signals: z.array(z.string()),
  flag: z.string().nullable(),
});

const intervalSchema = z.object({
  estimate: z.number(),
  lower: z.number(),
  upper: z.number(),
  confidence: z.number(),
});

/** Capability (within sigma) and performance (overall sigma), each stated with its interval or refused with the reason. */
export const capabilitySchema = z.object({
  n: z.number().int(),
  from: instant.nullable(),
  to: instant.nullable(),
  cp: z.union([intervalSchema, z.object({ refusal: refusalSchema })]),
  cpk: z.union([intervalSchema, z.object({ refusal: refusalSchema })]),
  pp: z.union([intervalSchema, z.object({ refusal: refusalSchema })]),
  ppk: z.union([intervalSchema, z.object({ refusal: refusalSchema })]),
  cautions: z.array(z.object({ code: z.string(), detail: z.string() })),
});

export const specificationSchema = z.object({
  lower: z.number().optional(),
  upper: z.number().optional(),
  target: z.number().optional(),
  unit: z.string(),
  origin: z.string(),
});

export const chartKindSchema = z.enum(["individuals", "averages-with-s", "ewma"]);

export const characteristicSchema = z.object({
  id: z.string(),
  station: z.string(),
  stage: z.string(),
  line: z.string(),
  feature: z.string(),
  part: z.string().nullable(),
  /** What of the value stands on the chart: its distance from its part's target, or that in sigma; left out, itself. */
  plotted: z.enum(["deviation", "z"]).optional(),
  name: z.string(),
  quantity: z.enum(quantities),
  reference: z.string().nullable(),
  unit: z.string(),
  digits: z.number().int(),
  runWord: z.string(),
  main: z.boolean(),
  chart: chartKindSchema,
  /** Runs of a full subgroup; 1 where every run is a point. */
  subgroup: z.number().int(),
  /** Runs that wait for their subgroup to be full, oldest first. */
  waiting: z.array(z.object({ run: z.string(), at: instant })),
  rules: z.array(z.string()),
  specification: specificationSchema.nullable(),
  limits: limitSetSchema.nullable(),
  /** Points from one chance flag to the next under these limits: by the location chart, and by the pair. Null where none is told. */
  chance: z.object({ location: maybeNumber, pair: maybeNumber, method: z.enum(["exact", "approximate"]) }).nullable(),
  /** Why there are no limits yet, with how many points are needed and there. */
  limitsMissing: refusalSchema.nullable(),
  latest: pointSchema.nullable(),
  capability: capabilitySchema,
  /** Points so far: streamed and imported. */
  points: z.object({ streamed: z.number().int(), imported: z.number().int() }),
  /** Flag open on it, if any. */
  flag: z.string().nullable(),
});

/** Which statistic a signal is about; null for a silence. */
const signalOnSchema = z.enum(["location", "spread", "specification"]).nullable();

export const flagSchema = z.object({
  id: z.string(),
  /** Small number for people, in order of opening. */
  number: z.number().int(),
  /** The first run; `runs` all that gave it a signal, oldest first (at most the newest 200). */
  run: z.string().nullable(),
  runs: z.array(z.string()),
  station: z.string(),
  /** Null for an instrument fault of a whole source. */
  characteristic: z.string().nullable(),
  part: z.string().nullable(),
  name: z.string(),
  /** What is wrong, in words: `metal too cold`. */
  says: z.string(),
  label: z.enum(["act-now", "look", "for-review", "instrument-fault"]),
  doFirst: z.string().nullable(),
  state: z.enum(["waiting", "taken", "done"]),
  /** Count of signals that joined. */
  signals: z.number().int(),
  rules: z.array(z.string()),
  unit: z.string().nullable(),
  digits: z.number().int(),
  first: z.object({
    at: instant,
    value: maybeNumber,
    line: maybeNumber,
    side: z.enum(["above", "below"]).nullable(),
    on: signalOnSchema.optional(),
  }),
  last: z.object({ at: instant, value: maybeNumber, run: z.string().nullable(), on: signalOnSchema.optional() }),
  worst: z.object({
    at: instant,
    value: maybeNumber,
    line: maybeNumber,
    run: z.string().nullable(),
    z: maybeNumber,
    on: signalOnSchema.optional(),
  }),
  /** Found more than 15 minutes after its sensor time: listed, never sent. */
  late: z.boolean(),
  /** When the first signal was found, wall time: waiting is counted from here. */
  foundAt: instant,
  /** The flag on the same chart that was done at most 20 runs before this one, and how often in a row that was so. */
  cameBack: z.object({ flag: z.string(), number: z.number().int(), times: z.number().int() }).nullable(),
  /** The shift in which it opened ended, at that time, before anybody took it. It may still be taken. */
  unseen: z.object({ shift: z.string(), at: instant }).nullable(),
  taken: z.object({ by: z.string(), at: instant }).nullable(),
  done: z.object({ by: z.string(), at: instant, cause: z.string(), note: z.string() }).nullable(),
  /** The evidence in one sentence; of instruments and common causes. */
  evidence: z.string().optional(),
  /** Of an instrument: since when no check finds it at fault any more; null while one does. */
  faultOver: instant.nullable().optional(),
  /** Of a common cause: what several stations share, and their flags, first up first. */
  common: z
    .object({
      name: z.string(),
      feeds: z.number().int(),
      of: z.string(),
      children: z.array(z.object({ flag: z.string(), station: z.string(), at: instant })),
    })
    .optional(),
  /** The flag of a common cause that this one stands under. */
  parent: z.string().optional(),
  /** What the stations that share a supply with it show of the same: whether it stands alone. */
  beside: z.string().optional(),
});

const featureValueSchema = z.object({
  feature: z.string(),
  version: z.number().int(),
  unit: z.string(),
  value: maybeNumber,
  refusal: refusalSchema.optional(),
});

const segmentSchema = z.object({ name: z.string(), from: instant, to: instant });

export const runSchema = z.object({
  id: z.string(),
  station: z.string(),
  runWord: z.string(),
  start: instant,
  end: instant,
  closedBy: z.enum(["end-condition", "timeout", "gap", "operator", "imported", "by-hand"]),
  imported: z.boolean(),
  context: z.record(z.string(), z.string()),
  segments: z.array(segmentSchema),
  features: z.array(featureValueSchema),
});

/** A trace as columns: milliseconds since the run's start, and values (null where the instrument gave none). */
const traceSchema = z.object({
  series: z.string(),
  role: z.string(),
  quantity: z.string(),
  reference: z.string().nullable(),
  unit: z.string(),
  kind: z.enum(["reading", "event", "waveform"]),
  everyMs: z.number().nullable(),
  tMs: z.array(z.number()),
  value: z.array(maybeNumber),
  /** True when the trace was thinned to at most two points a column, extremes kept. */
  thinned: z.boolean(),
});

/** The runs before this one at the same station (and part, where charts are by part), for the grey underlay. */
const underlaySchema = z.object({ run: z.string(), tMs: z.array(z.number()), value: z.array(maybeNumber) });

const snapshotSchema = z.object({
  series: z.string(),
  at: instant,
  rateHz: z.number(),
  unit: z.string(),
  value: z.array(z.number()),
});

const standSchema = z.enum(["low", "within", "high", "unknown"]);

/** A ladle as the ladle rule reads it: what it decides once, and what is each flask's own. */
const ladleSchema = z.object({
  run: z.string(),
  name: z.string().nullable(),
  /** First metal, slope, first minus line, each with where it stands on its own limits. */
  features: z.array(featureValueSchema.extend({ stand: standSchema })),
  /** By position: first metal, what the ladle's line gives there, and what is left of it. */
  flasks: z.array(
    z.object({
      position: z.number().int(),
      run: z.string(),
      value: maybeNumber,
      expected: maybeNumber,
      residual: maybeNumber,
      refusal: z.string().nullable(),
    }),
  ),
  /** What the pattern is like; a suspicion, never a cause. */
  like: z.enum([
    ...(["cold-tap", "hot-tap", "cold-ladle", "fast-loss", "slow-loss", "one-flask", "nothing", "undecided"] as const),
  ]),
  /** Positions below what each flask must not fall below. */
  outside: z.array(z.number().int()),
  least: maybeNumber,
});

/** What may be said of a load's dryness, by whom, and what stands beside it. */
const drynessSchema = z.object({
  says: z.enum(["within-limit", "above-limit", "air-at-end", "still-drying", "undecided"]),
  by: z.enum(["witness", "air"]).nullable(),
  doubts: z.array(z.enum(["balance-disagrees", "air-still-takes-water", "air-took-no-more"])),
  residualLimit: z.number(),
  ratio: z.object({ from: z.number(), to: z.number() }),
  /** Witness, endpoint, water balance, and the humidity that the air still took out. */
  evidence: z.array(featureValueSchema),
});

export const runSheetSchema = z.object({
  run: runSchema,
  traces: z.array(traceSchema.extend({ before: z.array(underlaySchema) })),
  /** Why its traces cannot be read: they are in the long-term store, which does not answer; null where they can. */
  tracesAway: z.string().nullable(),
  snapshots: z.array(snapshotSchema),
  /** Messages of the station's source that never came, about its time. */
  missing: z.array(z.object({ messages: z.number().int(), from: instant, to: instant })),
  /** This run's point on each of its characteristics. */
  points: z.array(pointSchema),
  characteristics: z.array(characteristicSchema),
  flags: z.array(flagSchema),
  /** What people measured of this run and wrote down, oldest first; of a run by hand, its own entry. */
  byHand: z.array(writtenSchema),
  /** What the run gave when somebody had it reckoned anew, oldest first, from revision 2; `run` has the first. */
  revisions: z.array(
    z.object({
      revision: z.number().int(),
      by: z.string(),
      reason: z.string(),
      at: instant,
      features: z.array(featureValueSchema),
      context: z.record(z.string(), z.string()),
    }),
  ),
  /** When it was found, while reckoning anew, that readings of the run are gone; newest first. */
  readingsGone: z.array(instant),
  /** Of a ladle and of its pours. */
  ladle: ladleSchema.nullable(),
  /** Of a dryer load. */
  dryness: drynessSchema.nullable(),
  previous: z.string().nullable(),
  next: z.string().nullable(),
});

/** How fresh a station's data are. `now` is the server's clock at the answer. */
export const freshnessSchema = z.object({
  station: z.string(),
  source: z.string(),
  /** Newest reading of the station, source time; null before the first. */
  newest: instant.nullable(),
  /** `live`; `catching-up`: sending what is older than 15 minutes; `silent`: three intervals without news; `never`. */
  state: z.enum(["live", "catching-up", "silent", "never"]),
  /** The series that is overdue the longest, when silent. */
  overdue: z.string().nullable(),
  /** Run under way, if any. */
  runOpenSince: instant.nullable(),
  /** Messages of its source that never came, found within the last 8 hours, with the source's time before and after. */
  missing: z.object({ messages: z.number().int(), from: instant.nullable(), to: instant.nullable() }).nullable(),
  /** Messages in a row of its source of which nothing was taken, and the code of the last: all stand in quarantine. */
  refused: z.object({ messages: z.number().int(), code: z.string() }).nullable(),
  /**
   * Readings of its source in a row, up to now, that all came late, behind the `newest` one: they enter no run. So it is after
   * a clock was ahead, until its time has come again.
   */
  late: z.object({ readings: z.number().int(), newest: instant }).nullable(),
  /** Seconds by which the clock of its source is ahead of ours, below zero behind; null while it is right or not known. */
  clockWrong: z.number().nullable(),
});

/** What is wrong at the door where all readings come in. */
export const doorTroubleSchema = z.object({
  /**
   * `line-away`, `line-damaged`: nothing new comes of that line, cut off or with a copy that does not follow;
   * `line-unread`: its settings cannot be read here, so it is not shown;
   * `collector-away`: the process that takes readings is not heard; `broker-away`: not connected; `session-lost`: the broker no longer knew us, so what it kept for us is gone;
   * `client-id-shared`: another client uses our client id; `messages-dropped`: the broker's queues were full;
   * `standby-missing`: a collector is to stand by and none does, so nobody would take the line over.
   */
  code: z.enum([
    "line-away",
    "line-damaged",
    "line-unread",
    "collector-away",
    "broker-away",
    "session-lost",
    "client-id-shared",
    "messages-dropped",
    "standby-missing",
  ]),
  /** When it was noticed last; null while it lasts. */
  at: instant.nullable(),
  /** Where several are shown, the line that it is about. */
  line: z.string().optional(),
  /** Where one of two collectors is to stand by, the one that has the line. */
  collector: z.string().optional(),
  /** Of any of the broker's clients, since the data folder was made. */
  messages: z.number().int().nullable(),
});

export const stationSchema = z.object({
  id: z.string(),
  stage: z.string(),
  line: z.string(),
  source: z.string(),
  runWord: z.string(),
  characteristics: z.array(z.string()),
});

/** The newest points of a strip as columns of equal length, oldest first: only what a strip draws of them. */
const stripSchema = z.object({
  run: z.array(z.string()),
  subgroup: z.array(z.number().int()),
  /** Milliseconds since 1970. */
  atMs: z.array(z.number().int()),
  value: z.array(maybeNumber),
  /** The first so many were imported. */
  imported: z.number().int(),
  /** Places that have no value on the spread chart. */
  withoutSpread: z.array(z.number().int()),
  signalled: z.array(z.object({ place: z.number().int(), signals: z.array(z.string()), flag: z.string().nullable() })),
});

/** What the Floor says of a chart; `/api/characteristics/ID` says the rest. */
const floorCharacteristicSchema = characteristicSchema
  .pick({
    ...{ id: true, station: true, feature: true, part: true, plotted: true, name: true, quantity: true },
    ...{ reference: true, unit: true, digits: true, runWord: true, main: true, chart: true, subgroup: true },
    ...{ waiting: true, specification: true, limitsMissing: true },
  })
  .extend({
    limits: limitSetSchema.pick({ id: true, location: true, spread: true }).nullable(),
    latest: z.object({ at: instant, location: z.object({ value: maybeNumber }) }).nullable(),
  });

export const floorSchema = z.object({
  now: instant,
  site: z.object({ name: z.string(), zone: z.string() }),
  shift: z.object({ name: z.string(), since: instant }).nullable(),
  /** No shift works: since when, and when the next one begins. */
  free: z.object({ since: instant, until: instant }).nullable(),
  stages: z.array(z.string()),
  lines: z.array(z.object({ id: z.string(), name: z.string() })),
  stations: z.array(stationSchema),
  freshness: z.array(freshnessSchema),
  door: z.array(doorTroubleSchema),
  /** Each; with its newest points (at most 120) where it may stand on its station's strip, else with none. */
  characteristics: z.array(z.object({ characteristic: floorCharacteristicSchema, strip: stripSchema })),
  /** Open ones: most urgent and oldest first. */
  flags: z.array(flagSchema),
  causes: z.array(z.string()),
  /** `chance`: flags that chance alone gives, on charts whose limits tell a rate; `untold`: charts whose limits tell none. */
  sinceShift: z.object({
    flags: z.number().int(),
    done: z.number().int(),
    chance: z.number(),
    untold: z.number().int(),
  }),
  lastWaitingEnded: instant.nullable(),
  journalSeq: z.number().int(),
});

export const takeSchema = z.strictObject(signature).refine(bothOrNeither, bothWords);
export const doneSchema = z
  .strictObject({
    ...signature,
    cause: z.string().trim().min(1).max(80),
    note: z.string().trim().max(2000).default(""),
  })
  .refine(bothOrNeither, bothWords);

/** How the copy of readings and run values in the long-term store stands. */
export const longTermSchema = z.object({
  /** Host and port; null before it answered for the first time. */
  where: z.string().nullable(),
  version: z.string().nullable(),
  /** Why nothing goes there now, in words; null while it does. */
  trouble: z.object({ code: z.string(), words: z.string(), since: instant }).nullable(),
  lastTrouble: z.object({ code: z.string(), words: z.string(), at: instant }).nullable(),
  /** When all had gone, last. */
  upToDate: instant.nullable(),
  /** Readings that have not gone yet; counted by the hour where they reach back for days. */
  behindReadings: z.number().int(),
  /** From the oldest of them to the newest reading of its series, in source time. */
  behindSeconds: z.number(),
  /** Readings that went since the process began, those that went twice included. */
  forwarded: z.number().int(),
  /** Readings that it would not take; they stay here. */
  refusedLines: z.number().int(),
  /** Lines that its retention policy would not keep, since the process began. */
  beyondRetention: z.number().int(),
  /** Days of which fewer readings were found there than here, since the process began. */
  shortDays: z.number().int(),
  /** The newest refused readings, with what was said. */
  refused: z.array(z.object({ series: z.string(), at: instant, code: z.string(), words: z.string() })),
});

/** Of two collectors of one line, of which one stands by. */
const pairSchema = z.object({
  /** Name of the one that takes readings and judges. */
  active: z.string(),
  /** Whether another one would take over. */
  standby: z.boolean(),
  /** Since when none does. */
  aloneSince: instant.nullable(),
  /** How often the line was taken, first starts included. */
  epoch: z.number().int(),
});

export const countsSchema = z.object({
  received: z.number().int(),
  acknowledged: z.number().int(),
  stored: z.number().int(),
  duplicate: z.number().int(),
  quarantined: z.number().int(),
  /** Of those stored, the ones that were late and enter no run by themselves. */
  late: z.number().int(),
  /** By source: numbers of its counter that never came. Sources that give no counter are not among them. */
  sequenceGaps: z.record(z.string(), z.number().int()),
  /** By source: seconds by which its clock is ahead of ours, below zero behind, where its readings come steadily enough. */
  clockOffsets: z.record(z.string(), z.number()),
  /** What befell our session at an outside broker, and messages that it says it dropped of any client; null if it does not. */
  broker: z
    .object({ sessionsLost: z.number().int(), takenOver: z.number().int(), dropped: z.number().int().nullable() })
    .nullable(),
  /** Null where readings are kept here alone. */
  longTerm: longTermSchema.nullable(),
  /** Null where no collector is to stand by, or none is heard. */
  pair: pairSchema.nullable(),
});

/** One message of `payload-v1.schema.json`, which says the rest: the collector reads it, field by field. */
export const postedMessageSchema = z.looseObject({
  v: z.literal(1),
  kind: z.enum(["readings", "waveform", "event"]),
  source: z.string(),
});

/** Of the readings of one body. */
export const postedSchema = z.object({
  stored: z.number().int(),
  duplicate: z.number().int(),
  /** Of those stored: they enter no run by themselves. */
  late: z.number().int(),
  quarantined: z.number().int(),
  /** Why some were refused, the first of them: each stands in quarantine. */
  refused: z.array(z.object({ code: z.string(), place: z.string(), detail: z.string() })),
});
export type WirePosted = z.infer<typeof postedSchema>;

export const quarantineSchema = z.object({
  id: z.number().int(),
  receivedAt: instant,
  topic: z.string(),
  /** First bytes of the payload, base64, and as text where they are text. */
  bytes: z.string(),
  text: z.string().nullable(),
  size: z.number().int(),
  code: z.string(),
  place: z.string(),
  detail: z.string(),
});

export const readingSchema = z.object({
  series: z.string(),
  at: instant,
  value: maybeNumber,
  quality: z.enum(["good", "uncertain", "bad"]),
  late: z.boolean(),
});

export const trendSchema = z.object({
  series: z.string(),
  columns: z.array(
    z.object({
      from: instant,
      to: instant,
      readings: z.number().int(),
      min: maybeNumber,
      mean: maybeNumber,
      max: maybeNumber,
    }),
  ),
});

export const statusSchema = z.object({
  status: z.enum(["alive", "ready"]),
  version: z.string(),
  /** Only where one of two collectors is to stand by. */
  pair: pairSchema.optional(),
});

/** RFC 9457. */
export const problemSchema = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string(),
  code: z.string(),
  errors: z.array(z.object({ place: z.string(), found: z.string(), expected: z.string() })).optional(),
  /** The other party's state, in a conflict. */
  flag: flagSchema.optional(),
});

export function listSchema<T extends z.ZodType>(
  item: T,
): z.ZodObject<{ items: z.ZodArray<T>; next: z.ZodNullable<z.ZodString> }> {
  return z.object({ items: z.array(item), next: z.string().nullable() });
}

/** Server to page, over the WebSocket at `/live?after=SEQ`. At most one `values` a second. */
export const liveFrameSchema = z.discriminatedUnion("type", [
  z.object({ type: z.literal("hello"), now: instant, seq: z.number().int() }),
  /** The page asked for more than can be resent: fetch `/api/floor` anew. */
  z.object({ type: z.literal("resync"), seq: z.number().int() }),
  z.object({
    type: z.literal("values"),
    now: instant,
    seq: z.number().int(),
    freshness: z.array(freshnessSchema),
    door: z.array(doorTroubleSchema),
  }),
  /** What the journal gained, coalesced: new points, flags as they now stand, characteristics whose limits changed. */
  z.object({
    type: z.literal("changes"),
    now: instant,
    seq: z.number().int(),
    points: z.array(pointSchema),
    flags: z.array(flagSchema),
    limits: z.array(z.string()),
  }),
]);

export type WireLimitSet = z.infer<typeof limitSetSchema>;
export type WirePoint = z.infer<typeof pointSchema>;
export type WireCapability = z.infer<typeof capabilitySchema>;
export type WireCharacteristic = z.infer<typeof characteristicSchema>;
export type WireFlag = z.infer<typeof flagSchema>;
export type WireRun = z.infer<typeof runSchema>;
export type WireLadle = z.infer<typeof ladleSchema>;
export type WireDryness = z.infer<typeof drynessSchema>;
export type WireRunSheet = z.infer<typeof runSheetSchema>;
export type WireFreshness = z.infer<typeof freshnessSchema>;
export type WireDoorTrouble = z.infer<typeof doorTroubleSchema>;
export type WireStation = z.infer<typeof stationSchema>;
export type WireStrip = z.infer<typeof stripSchema>;
export type WireFloorCharacteristic = z.infer<typeof floorCharacteristicSchema>;
export type WirePair = z.infer<typeof pairSchema>;
export type WireFloor = z.infer<typeof floorSchema>;
export type WireLongTerm = z.infer<typeof longTermSchema>;
export type WireQuarantine = z.infer<typeof quarantineSchema>;
export type WireReading = z.infer<typeof readingSchema>;
export type WireTrend = z.infer<typeof trendSchema>;
export type WireProblem = z.infer<typeof problemSchema>;
export type LiveFrame = z.infer<typeof liveFrameSchema>;
