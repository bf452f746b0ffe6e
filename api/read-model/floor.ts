import { freeTime, shiftAt } from "../../spc/segment/working-time.ts";
import type { WireFloor } from "../contract/wire.ts";
import type { ApiParts } from "../parts.ts";
import { noCauseFound } from "./capability-of.ts";
import { doorTroubles } from "./door-trouble.ts";
import { sinceShift } from "./since-shift.ts";
import { instant, instantOrNull, wireFreshness } from "./wire-form.ts";

/** Newest points that a strip shows. */
const stripPoints = 120;
/** A site without shifts counts the last day. */
const dayMs = 86_400_000;

/** Everything the Floor shows, as of the model's place in the journal. */
export function floor(parts: ApiParts, nowMs: number): WireFloor {
  const { site, model } = parts;
  const shift = shiftAt(nowMs, site.shiftClock);
  const free = freeTime(nowMs, site.shiftClock);
  const drawn = onStrips(parts);
  return {
    now: instant(nowMs),
    site: { name: site.name, zone: site.zone },
    shift: shift === null ? null : { name: shift.name, since: instant(shift.startMs) },
    free: free === null ? null : { since: instant(free.startMs), until: instant(free.endMs) },
    stages: site.stages.filter((stage) => onFloor(parts).some((one) => one.stage === stage)),
    lines: site.lines.map((line) => ({ ...line })),
    stations: stations(parts),
    freshness: parts.process.freshness().map(wireFreshness),
    door: doorTroubles(parts.process.source(), nowMs),
    characteristics: model.characteristicIds().flatMap((id) => {
      const shown = model.onFloor(id, drawn.has(id) ? stripPoints : 0, nowMs);
      return shown === undefined ? [] : [shown];
    }),
    flags: [...model.book.inFloorOrder()],
    causes: [...site.causes.filter((cause) => cause !== noCauseFound), noCauseFound],
    sinceShift: sinceShift(model, shift?.startMs ?? free?.startMs ?? nowMs - dayMs, nowMs),
    lastWaitingEnded: lastWaitingEnded(parts),
    journalSeq: model.seq,
  };
}

/** Stations that chart anything: a kind whose settings name no characteristic yet would only take their room. */
function onFloor({ site }: ApiParts): ApiParts["site"]["stations"] {
  return site.stations.filter(({ plans }) => plans.length > 0);
}

/** What may stand on a station's strip: its main characteristics, of whichever part, or all where it names none. */
function onStrips({ model }: ApiParts): ReadonlySet<string> {
  const all = [...model.charted()].map(({ characteristic }) => characteristic);
  const withMain = new Set(all.filter(({ main }) => main).map(({ station }) => station));
  return new Set(all.filter(({ main, station }) => main || !withMain.has(station)).map(({ id }) => id));
}

function stations(parts: ApiParts): WireFloor["stations"] {
  const charted = [...parts.model.charted()];
  return onFloor(parts).map(({ id, stage, line, source, runWord }) => {
    const characteristics = charted.filter(({ station }) => station.id === id).map((one) => one.characteristic.id);
    return { id, stage, line, source, runWord, characteristics };
  });
}

/** When a flag was last taken or closed: since then nothing waits, if nothing does. */
function lastWaitingEnded({ model }: ApiParts): string | null {
  let last: number | null = null;
  for (const { taken, done } of model.book.states()) {
    const ended = taken?.atMs ?? done?.atMs ?? null;
    if (ended !== null && (last === null || ended > last)) last = ended;
  }
  return instantOrNull(last);
}
