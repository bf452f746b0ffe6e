import { expect, test } from "vitest";
import type { SeriesCatalogue } from "../../../collector/decode/decoder.ts";
import { shown } from "../../../collector/decode/read-fields.ts";
import { takeReading } from "../../../collector/decode/take-reading.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { convert } from "../../../spc/units/ucum.ts";
import { T0 } from "./decoding.ts";

const entries = {
  "PR-01/pressure": { source: "GW-PR", kind: "reading", unit: "bar" },
  "PR-01/step": { source: "GW-PR", kind: "event", unit: "1" },
  "AO-1/t1": { source: "GW-AO", kind: "reading", unit: "Cel" },
  "PR-01/shake": { source: "GW-PR", kind: "waveform", unit: "[g]" },
} as const;
const catalogue: SeriesCatalogue = {
  find: (id) => {
    const entry = Object.hasOwn(entries, id) ? entries[id as keyof typeof entries] : undefined;
    return entry && { id, ...entry, toCanonical: (value, from) => convert(value, from, entry.unit) };
  },
};

function take(changes: object) {
  const samples: Sample[] = [];
  const rejections: { code: string; place: string; detail: string }[] = [];
  const places = { record: "/r", value: "/v", time: "/t", unit: "/u" };
  const told = { series: "PR-01/pressure", tMs: T0, value: 0.9, unit: "bar", quality: "good" as const, places };
  takeReading({ ...told, ...changes }, { catalogue, source: "GW-PR", receivedMs: T0, rejections }, samples);
  return [...samples, ...rejections.map(({ code, place }) => [code, place])];
}

test("a reading that passes every check becomes one sample", () => {
  expect(take({})).toEqual([{ series: "PR-01/pressure", tMs: T0, value: 0.9, quality: "good" }]);
  expect(take({ value: null, quality: "bad" })).toEqual([
    { series: "PR-01/pressure", tMs: T0, value: null, quality: "bad" },
  ]);
  for (const unit of [undefined, "1", "%"]) {
    expect(take({ series: "PR-01/step", value: false, unit })).toEqual([
      { series: "PR-01/step", tMs: T0, value: 0, quality: "good" },
    ]);
  }
});

test.each<[code: string, place: string, changes: object]>([
  ["unknown-series", "/r", { series: "PR-09/pressure" }],
  ["wrong-source", "/r", { series: "AO-1/t1", unit: "Cel" }],
  ["wrong-kind", "/r", { series: "PR-01/shake", unit: "[g]" }],
  ["time-too-old", "/t", { tMs: 0 }],
  ["time-too-old", "/t", { tMs: Date.UTC(1970, 0, 1) }],
  ["time-in-future", "/t", { tMs: Date.UTC(2099, 0, 1) }],
  ["not-a-number", "/v", { value: Number.NaN }],
  ["not-a-number", "/v", { value: Number.POSITIVE_INFINITY }],
  ["not-a-number", "/v", { value: "0.9" }],
  ["not-a-number", "/v", { value: true }],
  ["not-a-number", "/v", { value: undefined }],
  ["value-missing", "/v", { value: null }],
  ["value-missing", "/v", { value: null, quality: "uncertain" }],
  ["unknown-unit", "/u", { unit: undefined }],
  ["unknown-unit", "/u", { unit: "Cel" }],
  ["unknown-unit", "/u", { value: 1e308, unit: "[psi]", series: "PR-01/pressure", tMs: T0, quality: "good" }],
  ["value-missing", "/v", { series: "PR-01/step", value: 5, quality: "bad" }],
  ["not-a-number", "/v", { series: "PR-01/step", value: "5" }],
  ["unknown-unit", "/u", { series: "PR-01/step", value: 5, unit: "bar" }],
  ["unknown-unit", "/u", { series: "PR-01/step", value: 5, unit: "%" }],
])("%s at %s", (code, place, changes) => {
  expect(take(changes)).toEqual([[code, place]]);
});

test("a found value is shown as what it is, in few characters", () => {
  expect(shown(Number.POSITIVE_INFINITY)).toBe("Infinity");
  expect(shown(Number.NaN)).toBe("NaN");
  expect(shown(null)).toBe("null");
  expect(shown("a")).toBe('"a"');
  expect(shown("x".repeat(99))).toHaveLength(60);
});
