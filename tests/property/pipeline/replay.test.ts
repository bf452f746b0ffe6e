import fc from "fast-check";
import { expect, test } from "vitest";
import { setUpEntry } from "../../../collector/store/entries.ts";
import type { StoredEntry } from "../../../spc/model/journal-entry.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { collectorRig, found, type Rig } from "../../contract/pipeline/collector-rig.ts";
import { cycleMs, type Shot, shotMessages, site } from "../../contract/pipeline/press-line.ts";

/** What happens besides the shots, after the message of that place. */
type Happening = "nothing" | "cut" | "restart" | "limits" | "done" | "pause" | "set-up" | "late set-up";

const plateau = fc.oneof(
  { weight: 6, arbitrary: fc.double({ min: 0.88, max: 0.94, noNaN: true }) },
  { weight: 2, arbitrary: fc.constantFrom(0.75, 1.05, 0.91) },
  { weight: 1, arbitrary: fc.constant(null) },
);
const story = fc.record({
  shots: fc.array(
    fc.record({ press: fc.constantFrom("PR-01" as const, "PR-02" as const), plateau, skip: fc.nat({ max: 9 }) }),
    { minLength: 3, maxLength: 24 },
  ),
  happenings: fc.array(
    fc.constantFrom<Happening>(
      ...(["nothing", "nothing", "cut", "restart", "limits", "done", "pause", "set-up", "late set-up"] as const),
    ),
    {
      minLength: 1,
      maxLength: 80,
    },
  ),
  /** Messages that come so much later than they should, by place. */
  delays: fc.array(fc.constantFrom(0, 0, 0, 0, 0, 1, 7), { minLength: 1, maxLength: 40 }),
});
type Story = typeof story extends fc.Arbitrary<infer T> ? T : never;

/** The story's messages in the order in which they arrive. */
function arrivals({ shots, delays }: Story): readonly (readonly Sample[])[] {
  let place = 0;
  const sent = shots.flatMap(({ press, plateau, skip }): readonly (readonly Sample[])[] => {
    // Now and then a press rests for longer than its chart's memory reaches.
    place += skip === 9 ? 6 : 1;
    const shot: Shot = { press, place, plateau };
    return shotMessages(shot);
  });
  return sent
    .map((samples, at) => ({ samples, at: at + (delays[at % delays.length] ?? 0) }))
    .sort((a, b) => a.at - b.at)
    .map(({ samples }) => samples);
}

/** Somebody says which tool is in which press, from then on or from so much earlier on. */
function setUp(rig: Rig, at: number, backMs: number): void {
  const saidMs = rig.clock.nowMs();
  const words = { tool: `T-${at % 3}` };
  const rest = { by: "Early lead", note: "", instead: null, reason: "" };
  const entry = setUpEntry(at % 2 === 0 ? "PR-01" : "PR-02", { words, fromMs: saidMs - backMs, saidMs, ...rest });
  rig.data().journal.append([entry]);
}

async function live(rig: Rig, told: Story): Promise<void> {
  let revision = 1;
  rig.limits("PR-01:mold.plateau", 0.91, revision);
  for (const [at, samples] of arrivals(told).entries()) {
    rig.commit(samples);
    rig.clock.advance(cycleMs / 3);
    switch (told.happenings[at % told.happenings.length]) {
      case "cut":
        await rig.cut();
        break;
      case "restart":
        rig.restart();
        await rig.cut();
        break;
      case "limits":
        revision += 1;
        rig.limits(at % 2 === 0 ? "PR-01:mold.plateau" : "PR-02:mold.plateau", 0.9 + (at % 5) * 0.005, revision);
        break;
      case "done":
        rig.done();
        break;
      case "set-up":
      case "late set-up":
        setUp(rig, at, told.happenings[at % told.happenings.length] === "set-up" ? 0 : 8 * cycleMs);
        break;
      case "pause":
        // Long enough without news for all that came to count as complete.
        await rig.wait(30);
        break;
      default:
        break;
    }
  }
  await rig.cut();
}

/** Cuts the same samples again from nothing, with what people and clocks decided. */
async function again(rig: Rig, source: Rig, cutEvery: number): Promise<readonly StoredEntry[]> {
  const decided = source
    .data()
    .journal.read({ kinds: ["limits", "done", "taken", "applied", "silence", "set-up", "set-up-heard"] });
  rig.data().journal.append(decided);
  const stored = site.stations.flatMap((station) =>
    Object.values(station.series).flatMap((series) =>
      source.data().samples.read({ series: series.id, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER }),
    ),
  );
  const inOrder = [...stored].sort((a, b) => a.tMs - b.tMs);
  for (let from = 0; from < inOrder.length; from += cutEvery) {
    rig.commit(inOrder.slice(from, from + cutEvery));
    await rig.cut();
  }
  return rig.data().journal.read({});
}

test("samples cut again from nothing give the same runs, points, signals and flags, wherever the stream was cut", async () => {
  await fc.assert(
    fc.asyncProperty(story, fc.integer({ min: 7, max: 900 }), async (told, cutEvery) => {
      const first = collectorRig();
      const second = collectorRig();
      try {
        await live(first, told);
        // Without more news the last samples become complete.
        await first.wait(30);
        const entries = first.data().journal.read({});
        const replayed = await again(second, first, cutEvery);
        await second.wait(30);
        expect(found(second.data().journal.read({}))).toEqual(found(entries));
        expect(replayed.filter((entry) => entry.kind === "applied")).toHaveLength(
          entries.filter((entry) => entry.kind === "applied").length,
        );
      } finally {
        first.close();
        second.close();
      }
    }),
    { numRuns: 15 },
  );
});
