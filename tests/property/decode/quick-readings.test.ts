import fc from "fast-check";
import { expect, test } from "vitest";
import type { Decoded } from "../../../collector/decode/decoder.ts";
import { quickReadings } from "../../../collector/decode/quick-readings.ts";
import { TakenMessage } from "../../../collector/source/taken-message.ts";
import { decode, raw, T0 } from "../../unit/decode/decoding.ts";

const entry = { id: "PR-01/pressure", source: "GW-PR", kind: "reading", unit: "bar" } as const;
const quick = quickReadings(
  { find: (id) => (id === entry.id ? { ...entry, toCanonical: (value) => value } : undefined) },
  () => ["GW-PR"],
);
/** Mostly what is taken: a message is taken only when all of it is. */
const mostly = <T>(good: fc.Arbitrary<T>, rest: fc.Arbitrary<T>): fc.Arbitrary<T> =>
  fc.oneof({ arbitrary: good, weight: 7 }, { arbitrary: rest, weight: 1 });
const usual = fc
  .tuple(fc.integer({ min: -(10 ** 9), max: 10 ** 9 }), fc.nat(6))
  .map(([digits, decimals]) => (digits / 10 ** decimals).toFixed(decimals));
const unusual = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => JSON.stringify(value)),
  fc.tuple(fc.bigInt(-(10n ** 16n), 10n ** 16n), fc.nat(17)).map(([digits, decimals]) => {
    const text = `${digits < 0n ? -digits : digits}`.padStart(decimals + 1, "0");
    const cut = text.length - decimals;
    return `${digits < 0n ? "-" : ""}${text.slice(0, cut)}${decimals > 0 ? "." : ""}${text.slice(cut)}`;
  }),
  fc.constantFrom("-0", "0.0", "-0.000", "00", "01.5", "1.", ".5", "1e3", "null", "-"),
);
const number = mostly(usual, unusual);
const time = mostly(
  fc.integer({ min: T0 - 10 ** 9, max: T0 + 2 * 86_400_000 }).map((ms) => `"${new Date(ms).toISOString()}"`),
  fc.oneof(
    fc.integer({ min: T0 - 10 ** 12, max: T0 + 86_400_000 }).map(String),
    fc.constantFrom('"2026-11-25T23:59:60.000Z"', '"2026-02-30T00:00:00.000Z"', '"2026-11-25T08:05:12Z"', "012"),
  ),
);
const quality = mostly(
  fc.constantFrom("", ',"quality":"good"', ',"quality":"uncertain"', ',"quality":"bad"'),
  fc.constant(',"quality":"best"'),
);
const reading = fc
  .record({ number, time, quality })
  .map((one) => `{"series":"PR-01/pressure","t":${one.time},"value":${one.number},"unit":"bar"${one.quality}}`);
const message = fc
  .tuple(fc.constantFrom("", '"seq":0,', '"seq":1042,', '"seq":07,', '"seq":-1,'), fc.array(reading, { maxLength: 3 }))
  .map(([seq, readings]) => `{"v":1,"kind":"readings","source":"GW-PR",${seq}"readings":[${readings.join(",")}]}`);
/** One character put in, taken out or replaced. */
const spoilt = fc
  .tuple(message, fc.nat(), fc.constantFrom("", ...' {}[]",:.-+eE0123456789ZTµ\\n\n\u0000'), fc.boolean())
  .map(([text, place, character, replaced]) => {
    const at = place % text.length;
    return text.slice(0, at) + character + text.slice(replaced ? at + 1 : at);
  });

/** The quick way does not take a message that ends in a space. */
function slowly(text: string): Decoded {
  return decode(new TextEncoder().encode(`${text} `));
}

test("what the quick way reads is what the decoder that knows all reads", () => {
  let taken = 0;
  fc.assert(
    fc.property(fc.oneof(message, spoilt), (text) => {
      const bytes = new TextEncoder().encode(text);
      const found = quick(raw(bytes));
      if (found === undefined) return;
      taken += 1;
      expect(found).toEqual(slowly(text));
      expect(decode(bytes)).toEqual(found);
    }),
    { numRuns: 2_000 },
  );
  expect(taken).toBeGreaterThan(200);
});

test("amid other bytes it reads its own alone", () => {
  const { topic, receivedMs } = raw(new Uint8Array(0));
  fc.assert(
    fc.property(fc.oneof(message, spoilt), fc.nat(40), fc.string({ maxLength: 20 }), (text, short, around) => {
      const whole = new TextEncoder().encode(text);
      // What was cut off follows, so reading on would find it.
      const to = Math.max(whole.length - short, 1);
      const bytes = Buffer.concat([Buffer.from(around), whole, Buffer.from(around)]);
      const from = Buffer.byteLength(around);
      const one = new TakenMessage(topic, { bytes, from, to: from + to }, receivedMs, false, 1);
      expect(quick(one)).toEqual(quick(raw(whole.subarray(0, to))));
      expect(Uint8Array.from(one.payload)).toEqual(whole.subarray(0, to));
    }),
    { numRuns: 500 },
  );
});

test("text beyond ASCII is not read as if it were", () => {
  const bytes = Buffer.from(
    '{"v":1,"kind":"readings","source":"GW-PR","readings":[{"series":"é","t":1795593912345,"value":1,"unit":"bar"}]}',
  );
  const wide = quickReadings({ find: () => ({ ...entry, id: "Ã©", toCanonical: (value) => value }) }, () => ["GW-PR"]);
  expect(wide(raw(bytes))).toBeUndefined();
});
