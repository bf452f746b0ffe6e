import fc from "fast-check";
import { expect, test } from "vitest";
import { runEntry } from "../../../collector/store/entries.ts";
import { lineWriter, siteTag } from "../../../collector/store/influx/influx-line.ts";

interface Parsed {
  readonly measurement: string;
  readonly tags: Readonly<Record<string, string>>;
  readonly fields: Readonly<Record<string, string>>;
  readonly time: string;
}

/**
 * Reads one line by the published syntax of line protocol (InfluxData, "Line protocol", element by element; from memory): what
 * stands unescaped separates, within quotes only a quote and a backslash have an escape.
 */
function parsed(line: string): Parsed {
  let at = 0;
  const until = (stops: string): string => {
    let text = "";
    for (; at < line.length && !stops.includes(line[at]!); at += 1) {
      if (line[at] === "\\" && " ,=".includes(line[at + 1] ?? "x")) at += 1;
      text += line[at];
    }
    return text;
  };
  const quoted = (): string => {
    let text = "";
    for (at += 1; line[at] !== '"'; at += 1) {
      if (at >= line.length) throw new Error("a text without its end");
      if (line[at] === "\\" && '"\\'.includes(line[at + 1] ?? "x")) at += 1;
      text += line[at];
    }
    at += 1;
    return text;
  };
  const pairs = (value: () => string): Record<string, string> => {
    const found: Record<string, string> = {};
    do {
      at += 1;
      const name = until("= ,");
      if (line[at] !== "=" || name in found) throw new Error(`no value of ${name}, or a second one`);
      at += 1;
      found[name] = value();
    } while (line[at] === ",");
    if (line[at] !== " ") throw new Error("nothing separates");
    return found;
  };
  const measurement = until(", ");
  const tags = pairs(() => until(", "));
  const fields = pairs(() => (line[at] === '"' ? quoted() : until(", ")));
  return { measurement, tags, fields, time: line.slice(at + 1) };
}

const nasty = ["\n", "\r\n", ",", "=", '"', "\\", " ", "\\\n", '\\"', "\u2028", "é", "日", "🔥", "#", "\t", "\0", "i"];
const hostile = fc.oneof(
  fc
    .array(fc.oneof(fc.constantFrom(...nasty), fc.string({ unit: "binary" })), { maxLength: 12 })
    .map((x) => x.join("")),
  fc.constantFrom(
    "x 1\nreading,series=PR-01/pressure,site=a mark=0i,value=9 1",
    '",value=9,x="',
    '\\",value=9,x=\\"',
    "PR-01/pressure,site=elsewhere",
    "PR-01/pressure mark=2i 1\\",
  ),
);
const lineEnd = /[\n\r]/;

test("whatever a series, its site and a note are called, there is one line with their names in it, or none", () => {
  const note = fc.dictionary(hostile, hostile, { maxKeys: 4 });
  fc.assert(
    fc.property(
      hostile,
      hostile,
      note,
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      (series, site, words, value) => {
        const tag = siteTag(site);
        const sample = {
          series,
          tMs: 1_764_057_912_345,
          value,
          quality: "good",
          late: false,
          attributes: words,
        } as const;
        if (series === "" || /[\\\n\r]/.test(series)) {
          expect(() => lineWriter(tag).reading(sample)).toThrow(RangeError);
          return;
        }
        const line = lineWriter(tag).reading(sample);
        expect(line).not.toMatch(lineEnd);
        const { measurement, tags, fields, time } = parsed(line);
        expect({ measurement, tags, time }).toEqual({
          ...{ measurement: "reading", tags: { series, site: tag }, time: "1764057912345" },
        });
        expect(Object.keys(fields)).toEqual(["mark", "value", "attributes"]);
        expect(fields["mark"]).toBe("0i");
        expect(JSON.parse(fields["attributes"]!)).toEqual(words);
      },
    ),
  );
});

test("whatever a run, its station, feature and unit are called, each feature is one line of its fields alone", () => {
  fc.assert(
    fc.property(hostile, hostile, hostile, hostile, hostile, (id, station, feature, unit, code) => {
      const entry = runEntry({
        run: { id, station, startMs: 0, endMs: 5, closedBy: "gap", segments: [], context: { part: unit } },
        imported: false,
        features: [{ feature, version: 1, unit, value: null, refusal: { code, words: unit } }],
      } as unknown as Parameters<typeof runEntry>[0]) as Parameters<ReturnType<typeof lineWriter>["run"]>[0];
      const characteristic = `${station}:${feature}`;
      if (/[\\\n\r]/.test(characteristic)) {
        expect(() => lineWriter("ostrimvale").run(entry)).toThrow(RangeError);
        return;
      }
      const [one, ...more] = lineWriter("ostrimvale").run(entry);
      expect(more).toEqual([]);
      expect(one!.line).not.toMatch(lineEnd);
      const { tags, fields } = parsed(one!.line);
      expect(tags).toEqual({ characteristic, site: "ostrimvale" });
      const flat = (text: string): string => text.replaceAll(/[\r\n]/g, " ");
      expect(fields).toEqual({ run: flat(id), version: "1i", imported: "false", refusal: flat(code) });
    }),
  );
});
