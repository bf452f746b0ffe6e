import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { loadSettings } from "../../../collector/platform/settings/load.ts";

test("each gateway of the demo has two instruments that always speak, or says how long it is quiet at most", () => {
  const loaded = loadSettings(readFileSync("simulator/ostrimvale.yaml"));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  const { sources, stations } = loaded.site;
  const mute = sources.filter(({ id, quietAtMost }) => {
    const always = stations
      .filter(({ source }) => source === id)
      .flatMap(({ series }) => Object.values(series).filter(({ everyMs }) => everyMs !== null));
    return quietAtMost === undefined && always.length < 2;
  });
  expect(mute.map(({ id }) => id)).toEqual([]);
});
