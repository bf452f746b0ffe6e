import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { loadSettings } from "../../../collector/platform/settings/load.ts";
import { plainText, strangeCharacters } from "../../../spc/notify/message-text.ts";
import { siteText } from "../platform/settings/site-text.ts";

const contact = 'messages: { contact: "mailto:process@ostrimvale.example" }\n';

function mistakes(
  text: string,
): readonly { readonly path: string; readonly found: string; readonly expected: string }[] {
  const loaded = loadSettings(Buffer.from(text));
  return loaded.ok ? [] : loaded.mistakes;
}

test("words that a phone could not show are refused where they stand, once messages leave", () => {
  const strange = siteText.replace("says: too low", "says: 5 µm too low").replace("Sensor right?", "Below 90 °C?");
  expect(mistakes(strange)).toEqual([]);
  expect(mistakes(strange + contact)).toMatchObject([
    { path: "stationKinds.press.characteristics[0].signals[0].doFirst", found: "°" },
    { path: "stationKinds.press.characteristics[0].signals[0].says", found: "µ" },
  ]);
});

test("a title that would have to be cut is refused with how much it is too long", () => {
  const long = siteText.replace("says: too low", "says: steam plateau is far below what it was");
  expect(mistakes(long + contact)).toMatchObject([
    {
      path: "stationKinds.press.characteristics[0].signals[0].says",
      expected: expect.stringContaining("5 fewer characters: LOOK PR-01: "),
    },
  ]);
});

test("the demo's words fit", () => {
  expect(
    mistakes(`${readFileSync("simulator/ostrimvale.yaml", "utf8").replace(/^messages:.*$/m, "")}\n${contact}`),
  ).toEqual([]);
});

test("characters that text messages lack are told, and shown as a question mark", () => {
  expect(strangeCharacters("1421 °C → °")).toEqual(["°", "→"]);
  expect(plainText("Gießhalle «1»")).toBe("Gießhalle ?1?");
});
