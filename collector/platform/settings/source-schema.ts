import { z } from "zod";
import { duration, id, ucum } from "./schema-parts.ts";

const head = {
  id,
  /** MQTT topic filter that this source publishes under. */
  topic: z.string().min(1).max(200),
  /**
   * The longest that nothing at all comes from it while all is well. For a gateway that speaks only while something runs
   * behind it: between runs none of its instruments promises anything, so nothing else would tell that it is gone.
   */
  quietAtMost: duration.optional(),
};
const name = z.string().min(1).max(200);
/** Station and role, as in `PR-01/pressure`. */
const series = z.string().regex(/^[^/]+\/[^/]+$/, "a series: station and role, such as PR-01/pressure");
/** What is done with a name that is sent and stands in no row of `map`: quarantine, or nothing. */
const others = z.enum(["reject", "ignore"]).default("reject");
const pointer = z
  .string()
  .max(200)
  .regex(/^(\/([^/~]|~[01])*)*$/, "a JSON pointer (RFC 6901) such as /values/0/p, with ~1 for / and ~0 for ~");
const plain = z.union([z.string().max(200), z.number(), z.boolean()]);

const jsonV1 = z.strictObject({
  ...head,
  format: z
    .literal("json-v1")
    .optional()
    .transform(() => "json-v1" as const),
});

const senml = z.strictObject({
  ...head,
  format: z.literal("senml"),
  /** By resolved name (`bn` and `n` together). `unit` is that of records that carry none. */
  map: z.array(z.strictObject({ name, series, unit: ucum.optional() })).min(1),
  others,
});

const sparkplugB = z.strictObject({
  ...head,
  format: z.literal("sparkplug-b"),
  /** `edge` may be left out where the topic names one edge node; `device` is left out for the node's own metrics. */
  map: z
    .array(
      z.strictObject({
        edge: name.optional(),
        device: name.optional(),
        metric: name,
        series,
        /** The format carries no unit. */
        unit: ucum.optional(),
      }),
    )
    .min(1),
  others,
});

const opcuaJson = z.strictObject({
  ...head,
  format: z.literal("opcua-json"),
  map: z
    .array(
      z.strictObject({
        /** DataSetWriterId, or DataSetWriterName where that is not sent; left out, any writer's field of that name. */
        writer: z.union([name, z.number().int().min(0)]).optional(),
        field: name,
        series,
        /** The messages carry no unit. */
        unit: ucum.optional(),
      }),
    )
    .min(1),
  others,
});

const time = z.strictObject({
  at: pointer,
  /** `local`: `2026-11-25 08:05:12` by the site's clocks; of an hour that comes twice, the one nearer to the arrival. */
  as: z.enum(["iso", "local", "seconds", "milliseconds", "microseconds", "nanoseconds"]),
  /** Where one time stands beside the list, for all of its items. */
  of: z.enum(["item", "message"]).default("item"),
});
/** What stands there is good or uncertain when it is one of these, and bad otherwise. */
const quality = z.strictObject({
  at: pointer,
  good: z.array(plain).min(1),
  uncertain: z.array(plain).default([]),
});

const mappedJson = z.strictObject({
  ...head,
  format: z.literal("mapped-json"),
  /** Where a list of items lies; all pointers but `sequence` and a time of the message then start at the item. */
  list: pointer.optional(),
  time,
  /** A counter of the sender's messages. */
  sequence: pointer.optional(),
  quality: quality.optional(),
  map: z
    .array(
      z.strictObject({
        value: pointer,
        series,
        unit: ucum.optional(),
        /** Where the sender writes the UCUM code itself. */
        unitAt: pointer.optional(),
        /** Value times `scale` plus `offset` is in the unit. */
        scale: z
          .number()
          .refine((scale) => scale !== 0, "a number other than 0")
          .optional(),
        offset: z.number().optional(),
        /** The value is a text with this decimal mark; left out, it is a JSON number. */
        decimal: z.enum(["point", "comma"]).optional(),
        /** The row is of items in which this stands there. */
        when: z.strictObject({ at: pointer, is: plain }).optional(),
        time: time.optional(),
        quality: quality.optional(),
        /** True: nothing is missing where the value is not sent. */
        optional: z.boolean().default(false),
      }),
    )
    .min(1),
  others,
});

/** A source and how its messages are read: our own JSON unless it says otherwise. */
export const sourceSchema = z.discriminatedUnion("format", [jsonV1, senml, sparkplugB, opcuaJson, mappedJson]);

export type SourceSettings = z.output<typeof sourceSchema>;
