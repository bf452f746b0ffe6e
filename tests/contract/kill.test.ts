import { expect, test } from "vitest";
import { crashMatrix } from "../soak/crash.ts";

/** `npm run -s soak -- crash --kills 100` does more of them. */
const kills = 4;

test("killed four times amid the stream, whole with its own broker, collector and api apart with Mosquitto, it keeps all that it acknowledged and finds what it would have found", {
  timeout: 900_000,
}, async () => {
  const { result, complaints } = await crashMatrix(kills, 3, (line) => console.log(line), {
    apart: ["mosquitto"],
  });
  expect(complaints).toEqual([]);
  expect(result).toMatchObject({ kills, lost: 0, unnoticed: 0, doubled: 0, signalsDiffer: 0 });
});
