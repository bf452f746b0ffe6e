import { z } from "zod";
import { columnsText, cursorText, idText, instantText, limitText } from "./query.ts";
import {
  characteristicSchema,
  countsSchema,
  doneSchema,
  flagSchema,
  floorSchema,
  listSchema,
  pointSchema,
  quarantineSchema,
  readingSchema,
  runSchema,
  runSheetSchema,
  statusSchema,
  takeSchema,
  trendSchema,
} from "./wire.ts";

/** One way to ask us something: what it takes and what it answers. Routes and the OpenAPI document read the same table. */
export interface Endpoint {
  readonly method: "get" | "post";
  /** As OpenAPI writes it: `/api/flags/{id}/take`. */
  readonly path: string;
  readonly summary: string;
  readonly params: z.ZodObject;
  readonly query: z.ZodObject;
  readonly body?: z.ZodType;
  /** Schema of a JSON answer; absent where the answer is text or the OpenAPI document itself. */
  readonly answer?: z.ZodType;
  readonly answers: string;
  /** Statuses of the problem documents it may answer beside 400, 404 for an unknown id, and 500. */
  readonly problems: readonly number[];
}

const none = z.strictObject({});
const byId = z.strictObject({ id: idText });
const page = { limit: limitText.optional(), after: cursorText.optional() };
const listQuery = z.strictObject(page);
const span = { from: instantText.optional(), to: instantText.optional() };

export const endpoints = {
  healthz: {
    method: "get",
    path: "/healthz",
    summary: "Whether the process answers at all",
    params: none,
    query: none,
    answer: statusSchema,
    answers: "It does",
    problems: [],
  },
  readyz: {
    method: "get",
    path: "/readyz",
    summary: "Whether readings can arrive and be kept, and the pages know what the journal holds",
    params: none,
    query: none,
    answer: statusSchema,
    answers: "They can",
    problems: [503],
  },
  metrics: {
    method: "get",
    path: "/metrics",
    summary: "Counters and gauges in the Prometheus text format",
    params: none,
    query: none,
    answers: "Metrics, each with its meaning",
    problems: [],
  },
  openapi: {
    method: "get",
    path: "/api/openapi.json",
    summary: "This description",
    params: none,
    query: none,
    answers: "An OpenAPI 3.1 document",
    problems: [],
  },
  floor: {
    method: "get",
    path: "/api/floor",
    summary: "Everything the Floor shows, in one answer",
    params: none,
    query: none,
    answer: floorSchema,
    answers: "Stations, their newest points and open flags, as of `journalSeq`",
    problems: [],
  },
  characteristics: {
    method: "get",
    path: "/api/characteristics",
    summary: "What is charted: limits in force, latest point, capability",
    params: none,
    query: listQuery,
    answer: listSchema(characteristicSchema),
    answers: "Characteristics in the order of the settings",
    problems: [],
  },
  characteristic: {
    method: "get",
    path: "/api/characteristics/{id}",
    summary: "One characteristic",
    params: byId,
    query: none,
    answer: characteristicSchema,
    answers: "The characteristic",
    problems: [404],
  },
  points: {
    method: "get",
    path: "/api/characteristics/{id}/points",
    summary: "Points of a characteristic",
    params: byId,
    query: z.strictObject({
      ...page,
      order: z
        .enum(["newest-first", "oldest-first"], "newest-first or oldest-first")
        .optional()
        .meta({ description: "newest-first unless told otherwise." }),
    }),
    answer: listSchema(pointSchema),
    answers: "Points by their place on the axis, where imported ones come before the streamed ones",
    problems: [404],
  },
  flags: {
    method: "get",
    path: "/api/flags",
    summary: "Flags: open ones first, oldest first; then done ones, newest first",
    params: none,
    query: z.strictObject({
      ...page,
      state: z
        .enum(["waiting", "taken", "done", "open"], "waiting, taken, done, or open for the first two")
        .optional()
        .meta({ description: "Only flags in this state; `open` stands for waiting and taken." }),
    }),
    answer: listSchema(flagSchema),
    answers: "Flags",
    problems: [],
  },
  flag: {
    method: "get",
    path: "/api/flags/{id}",
    summary: "One flag",
    params: byId,
    query: none,
    answer: flagSchema,
    answers: "The flag",
    problems: [404],
  },
  take: {
    method: "post",
    path: "/api/flags/{id}/take",
    summary: "Take a flag: the first to take it has it",
    params: byId,
    query: none,
    body: takeSchema,
    answer: flagSchema,
    answers: "The flag, taken; the same when the same name takes it again",
    problems: [403, 404, 409, 413, 415],
  },
  done: {
    method: "post",
    path: "/api/flags/{id}/done",
    summary: "Close a flag with its cause; run rules start counting anew",
    params: byId,
    query: none,
    body: doneSchema,
    answer: flagSchema,
    answers: "The flag, done. Nobody having taken it, the same person is written down as having taken it",
    problems: [403, 404, 409, 413, 415],
  },
  runs: {
    method: "get",
    path: "/api/runs",
    summary: "Runs, newest entry first",
    params: none,
    query: z.strictObject({ ...page, ...span, station: idText.optional() }),
    answer: listSchema(runSchema),
    answers: "Runs that ended in from <= t < to, newest entry first",
    problems: [],
  },
  run: {
    method: "get",
    path: "/api/runs/{id}",
    summary: "One run: its traces over those of the runs before, its points and flags",
    params: byId,
    query: none,
    answer: runSheetSchema,
    answers: "The run",
    problems: [404],
  },
  readings: {
    method: "get",
    path: "/api/readings",
    summary: "Stored readings of one series, late ones among them and marked",
    params: none,
    query: z.strictObject({ ...page, ...span, series: idText }),
    answer: listSchema(readingSchema),
    answers: "Readings in from <= t < to, in time order",
    problems: [],
  },
  trend: {
    method: "get",
    path: "/api/trend",
    summary:
      "All readings of one series over any time in a few columns, each with its extremes, so that no spike is lost",
    params: none,
    query: z.strictObject({ series: idText, from: instantText, to: instantText, columns: columnsText.optional() }),
    answer: trendSchema,
    answers: "Columns that hold a reading, in time order; whole hours from where a column is an hour or more",
    problems: [],
  },
  quarantine: {
    method: "get",
    path: "/api/quarantine",
    summary: "What was refused at the door, and why",
    params: none,
    query: listQuery,
    answer: listSchema(quarantineSchema),
    answers: "Refused records, oldest first",
    problems: [],
  },
  counts: {
    method: "get",
    path: "/api/counts",
    summary: "How many readings, waveforms and events arrived, and what became of them",
    params: none,
    query: none,
    answer: countsSchema,
    answers: "Counts since the data folder was made",
    problems: [],
  },
} as const satisfies Record<string, Endpoint>;
