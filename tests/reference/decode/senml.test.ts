import { expect, test } from "vitest";
import { decoderOf, rawMessage, refused } from "../../unit/decode/formats.ts";

// Examples of RFC 8428, section 5.1, as its authors generate them (core-wg/senml-spec, ex1 to ex7); the resolved forms
// beside them are the authors' own (ex*.gen.resolved.json, section 5.1.4), not ours. Names are mapped to series of the
// demo's plant whose units fit; what measures something that no series can hold is refused with its unit.

const rows = {
  "urn:dev:ow:10e2073a01080063": "DR-1/supply-rh",
  "urn:dev:ow:10e2073a01080063:temp": "DR-1/supply-t",
  "urn:dev:ow:10e2073a01080063:open": "DR-1/load",
  "urn:dev:ow:10e2073a01080063:label": "DR-2/load",
  "urn:dev:ow:10e2073a01080063:nfv-reader": "DR-3/load",
  "urn:dev:ow:10e2073a0108006:voltage": "DR-2/supply-rh",
  "urn:dev:ow:10e2073a0108006:current": "DR-2/return-rh",
} as const;
const map = Object.entries(rows)
  .map(([name, series]) => `{ name: "${name}", series: ${series} }`)
  .join(", ");
const decoder = decoderOf(`sources:
  - { id: GW-DR, topic: dryers, format: senml, map: [${map}] }
`);
const decode = (text: string, receivedMs: number) => decoder.decode(rawMessage("dryers", text, { receivedMs }));

test("5.1.1 a single data point has neither time nor series of its unit here: 23.1 Cel, now", () => {
  const one = decoderOf(`sources:
  - { id: GW-DR, topic: dryers, format: senml, map: [{ name: "urn:dev:ow:10e2073a01080063", series: DR-1/supply-t }] }
`);
  const text = '[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]';
  // The resolved form of the authors says 1.49558755e+09, the time when they made it.
  const receivedMs = 1_495_587_550_000;
  expect(one.decode(rawMessage("dryers", text, { receivedMs })).samples).toEqual([
    { series: "DR-1/supply-t", tMs: receivedMs, value: 23.1, quality: "good" },
  ]);
});

/** 5.1.2: voltage and current at 2010-06-08T18:01:16.001Z and each of the five seconds before. */
const volts = `[
  {"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,"n":"voltage","u":"V","v":120.1},
  {"n":"current","t":-5,"v":1.2},
  {"n":"current","t":-4,"v":1.3},
  {"n":"current","t":-3,"v":1.4},
  {"n":"current","t":-2,"v":1.5},
  {"n":"current","t":-1,"v":1.6},
  {"n":"current","v":1.7}
]`;

test("5.1.2 volts and amperes are units that no series of a foundry is in, so all seven are refused", () => {
  const decoded = decode(volts, 1_276_020_077_000);
  expect(refused(decoded)).toEqual(Array.from({ length: 7 }, (_, i) => ["unknown-unit", `/${i}/u`]));
  expect([decoded.items, decoded.samples]).toEqual([7, []]);
});

test("5.1.2 in a unit that we know, each record has the time and value of its resolved form", () => {
  const known = volts.replace('"bu":"A"', '"bu":"%RH"').replace('"u":"V"', '"u":"%RH"');
  const decoded = decode(known, 1_276_020_077_000);
  const resolved = [
    ["voltage", 1.276020076001e9, 120.1],
    ["current", 1.276020071001e9, 1.2],
    ["current", 1.276020072001e9, 1.3],
    ["current", 1.276020073001e9, 1.4],
    ["current", 1.276020074001e9, 1.5],
    ["current", 1.276020075001e9, 1.6],
    ["current", 1.276020076001e9, 1.7],
  ] as const;
  expect(decoded.samples).toEqual(
    resolved.map(([name, t, value]) => ({
      series: rows[`urn:dev:ow:10e2073a0108006:${name}`],
      tMs: Math.round(t * 1000),
      value,
      quality: "good",
    })),
  );
  expect(decoded.samples[0]!.tMs).toBe(Date.parse("2010-06-08T18:01:16.001Z"));
});

test("5.1.3 of thirteen measurements the humidities are taken; position and battery are none of ours", () => {
  const text = `[
  {"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"%RH","v":20},
  {"u":"lon","v":24.30621}, {"u":"lat","v":60.07965},
  {"t":60,"v":20.3}, {"u":"lon","t":60,"v":24.30622}, {"u":"lat","t":60,"v":60.07965},
  {"t":120,"v":20.7}, {"u":"lon","t":120,"v":24.30623}, {"u":"lat","t":120,"v":60.07966},
  {"u":"%EL","t":150,"v":98},
  {"t":180,"v":21.2}, {"u":"lon","t":180,"v":24.30628}, {"u":"lat","t":180,"v":60.07967}
]`;
  const decoded = decode(text, 1_320_067_700_000);
  // Section 5.1.4, the resolved form of these records.
  expect(decoded.samples.map(({ series, tMs, value }) => [series, tMs, value])).toEqual([
    ["DR-1/supply-rh", 1_320_067_464_000, 20],
    ["DR-1/supply-rh", 1_320_067_524_000, 20.3],
    ["DR-1/supply-rh", 1_320_067_584_000, 20.7],
    ["DR-1/supply-rh", 1_320_067_644_000, 21.2],
  ]);
  expect(new Set(refused(decoded).map(([code]) => code))).toEqual(new Set(["unknown-unit"]));
  expect(decoded.samples.length + decoded.rejections.length).toBe(13);
  expect(decoded.items).toBe(13);
});

test("5.1.5 of four data types a number and a truth are taken, text and bytes are refused", () => {
  const text = `[
  {"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},
  {"n":"label","vs":"Machine Room"},
  {"n":"open","vb":false},
  {"n":"nfv-reader","vd":"aGkgCg"}
]`;
  const decoded = decode(text, 1_320_067_700_000);
  expect(decoded.samples.map(({ series, value }) => [series, value])).toEqual([
    ["DR-1/supply-t", 23.1],
    ["DR-1/load", 0],
  ]);
  expect(refused(decoded)).toEqual([
    ["not-a-number", "/1/vs"],
    ["not-a-number", "/3/vd"],
  ]);
});

test("RFC 8798: 100 ms are 0.1 s; RFC 9100: version 26 is 10 and secondary units", () => {
  // No series of the demo's plant is in seconds, so hectopascals stand for secondary units: 1/100 of them is Pa * 1.
  const presses = decoderOf(`sources:
  - { id: GW-PR, topic: presses, format: senml, map: [{ name: p, series: PR-01/pressure }] }
`);
  const receivedMs = Date.parse("2026-11-25T08:05:12Z");
  const text = '[{"bver":26,"n":"p","u":"hPa","v":901}]';
  const { samples } = presses.decode(rawMessage("presses", text, { receivedMs }));
  // 1 hPa = 100 Pa (RFC 8798, table 2), 1 bar = 100000 Pa.
  expect(samples[0]!.value).toBeCloseTo(0.901, 12);
});
