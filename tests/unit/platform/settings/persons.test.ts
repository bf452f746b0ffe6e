import { expect, test } from "vitest";
import { loadSettings } from "../../../../collector/platform/settings/load.ts";
import { siteText } from "./site-text.ts";

const pin = "$argon2id$v=19$m=19456,t=2,p=1$1/5uZlZsrok1fhS22YQ0Sg$7vhfnxBrMzT71XHkJS4xU7tM8ARXriXZkQaiSYYehkI";

function load(more: string) {
  const loaded = loadSettings(Buffer.from(siteText + more));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site;
}

function mistakes(more: string): readonly { readonly line: number; readonly expected: string }[] {
  const loaded = loadSettings(Buffer.from(siteText + more));
  if (loaded.ok) throw new Error("the settings were taken");
  return loaded.mistakes;
}

test("a person has a name, and may have a PIN, labels and hours", () => {
  const { persons, messages } = load(`persons:
  - { id: lead, name: Early lead, pin: "${pin}", labels: [act-now, look], hours: "06:00-14:00" }
  - { id: engineer, name: Process engineer, role: process-engineer }
messages: { contact: "mailto:process@ostrimvale.example" }
`);
  expect(persons).toEqual([
    { id: "lead", name: "Early lead", role: "viewer", pin, labels: ["act-now", "look"], hours: "06:00-14:00" },
    { id: "engineer", name: "Process engineer", role: "process-engineer", labels: [], hours: "always" },
  ]);
  expect(messages).toEqual({ contact: "mailto:process@ostrimvale.example", services: [] });
  expect(load("")).toMatchObject({ persons: [], messages: null });
});

test("a PIN in the clear, a label, hours or contact that are none, and one name twice are told with their lines", () => {
  const first = siteText.split("\n").length;
  const found = mistakes(`persons:
  - { id: lead, name: Early lead, pin: "1234", labels: [loud], hours: "6-14" }
  - { id: other, name: Late lead }
messages: { contact: plant }
`);
  expect(found.map(({ line, expected }) => [line - first, expected])).toEqual([
    [1, "a line that steadypour hash-pin printed"],
    [1, "one of act-now, look, for-review, instrument-fault"],
    [1, "always, or a span such as 22:00-06:00"],
    [3, "a mailto: or https: address"],
  ]);
  const twice = mistakes("persons: [{ id: a, name: Lead }, { id: a, name: LEAD }]\n").map(({ expected }) => expected);
  expect(twice).toEqual(["persons that differ in id", "persons that differ in name"]);
});
