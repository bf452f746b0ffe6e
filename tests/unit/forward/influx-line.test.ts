import { expect, test } from "vitest";
import { runEntry } from "../../../collector/store/entries.ts";
import { lineWriter, siteTag, tagValue } from "../../../collector/store/influx/influx-line.ts";
import type { StoredSample } from "../../../collector/store/sample-store.ts";

const { reading, run } = lineWriter("ostrimvale");
const sample = (more: Partial<StoredSample>): StoredSample => ({
  ...{ series: "PR-01/pressure", tMs: 1_764_057_912_345, value: 1, quality: "good", late: false },
  ...more,
});
const at = (more: Partial<StoredSample>): string =>
  reading(sample(more)).slice("reading,series=PR-01/pressure,site=ostrimvale ".length);

// Numbers 3.14 to 3.17 of the client's and the server's behaviour: types are fixed, a missing field is no field.
test("a value is a float whatever it is, its mark an integer, its time whole milliseconds", () => {
  expect(reading(sample({}))).toBe("reading,series=PR-01/pressure,site=ostrimvale mark=0i,value=1 1764057912345");
  expect(at({ value: 0.1 + 0.2, quality: "uncertain" })).toBe("mark=1i,value=0.30000000000000004 1764057912345");
  expect(at({ value: 1e21, late: true })).toBe("mark=4i,value=1e+21 1764057912345");
  expect(at({ value: -0 })).toBe("mark=0i,value=0 1764057912345");
  expect(at({ value: null, quality: "bad" })).toBe("mark=2i 1764057912345");
});

test("no number that is none leaves us", () => {
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY])
    expect(() => reading(sample({ value }))).toThrow(RangeError);
});

test("attributes go as text, with quotes, backslashes and line ends as they are", () => {
  const attributes = { part: 'OFW "2107"', note: "a\\b\nc" };
  const line = at({ attributes });
  expect(line).toContain(',attributes="{\\"part\\":\\"OFW \\\\\\"2107\\\\\\"\\"');
  expect(line).not.toContain("\n");
});

test("names in tags are escaped, and what would break a line is refused", () => {
  expect(tagValue("a b,c=d")).toBe("a\\ b\\,c\\=d");
  for (const wrong of ["", "a\\", "a\nb", "a\rb"])
    expect(() => tagValue(wrong), JSON.stringify(wrong)).toThrow(RangeError);
});

test("a site's name becomes a tag without spaces, never an empty one", () => {
  expect(siteTag("Ostrimvale Foamcast Works")).toBe("ostrimvale-foamcast-works");
  expect(siteTag("  ")).toBe("site");
});

test("the same run always stands at the same nanosecond, and another one of that millisecond elsewhere", () => {
  const entry = (id: string) =>
    runEntry({
      run: { id, station: "PR-01", startMs: 0, endMs: 5, closedBy: "gap", segments: [], context: {} },
      imported: true,
      features: [{ feature: "press.plateau", version: 1, unit: "bar", value: 0.9 }],
    }) as Parameters<typeof run>[0];
  const [[a], [again], [b]] = [run(entry("PR-01:a")), run(entry("PR-01:a")), run(entry("PR-01:b"))];
  expect(a).toEqual(again);
  expect(a!.tNs).not.toBe(b!.tNs);
  expect([a!.tNs / 1_000_000n, b!.tNs / 1_000_000n]).toEqual([5n, 5n]);
  expect(a!.line).toBe(
    `run_value,characteristic=PR-01:press.plateau,site=ostrimvale run="PR-01:a",version=1i,imported=true,value=0.9 ${a!.tNs}`,
  );
});
