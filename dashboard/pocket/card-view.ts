import type { WireFlag, WireFloorCharacteristic } from "../../api/contract/wire.ts";
import { valueAgainst } from "../model/flag-words.ts";
import { counted, sentenceCase } from "../model/numbers.ts";
import { siteTimes } from "../model/times.ts";
import { unitWord } from "../model/units.ts";
import type { KeptCard, KeptTake } from "./pocket-store.ts";

/** What a Flag Card shows, wherever it came from. */
export interface CardView {
  readonly flag: string;
  readonly label: WireFlag["label"];
  readonly station: string;
  readonly says: string;
  readonly value: string | null;
  readonly unit: string;
  readonly against: string | null;
  /** `Pour OFW-2107 · 3 signals` */
  readonly about: string;
  readonly time: string;
  readonly doFirst: string | null;
  readonly characteristic: string | null;
  readonly run: string | null;
  readonly taken: { readonly by: string; readonly at: string } | null;
  readonly done: boolean;
  /** True when the plant was not asked: then nobody knows whether somebody has it by now. */
  readonly fromPush: boolean;
}

export function liveCard(
  flag: WireFlag,
  characteristic: WireFloorCharacteristic | null,
  runWord: string,
  zone: string,
): CardView {
  const { value, against } = valueAgainst(flag, characteristic);
  const run = flag.run === null ? null : [sentenceCase(runWord), flag.part].filter((word) => word !== null).join(" ");
  const times = siteTimes(zone);
  return {
    ...{ flag: flag.id, label: flag.label, station: flag.station, says: flag.says, value },
    unit: flag.unit === null ? "" : unitWord(flag.unit, characteristic?.reference, characteristic?.quantity),
    against: against === "" ? null : against,
    about: [run, counted(flag.signals, "signal")].filter((word) => word !== null).join(" · "),
    time: times.minute(Date.parse(flag.worst.at)),
    ...{ doFirst: flag.doFirst, characteristic: flag.characteristic, run: flag.worst.run },
    taken: flag.taken === null ? null : { by: flag.taken.by, at: times.minute(Date.parse(flag.taken.at)) },
    ...{ done: flag.done !== null, fromPush: false },
  };
}

export function pushedCard({ flag, data }: KeptCard): CardView {
  const { card, label } = data;
  const [value = null, unit = ""] = card.value?.split(" ") ?? [];
  return {
    ...{ flag, label, station: card.station, says: card.says, value, unit: spoken(unit), against: card.against },
    about: [card.run, counted(card.signals, "signal")].filter((word) => word !== null).join(" · "),
    ...{ time: card.time, doFirst: card.doFirst, characteristic: card.characteristic, run: card.runId },
    ...{ taken: null, done: false, fromPush: true },
  };
}

/** Messages spare phones a sign that some lack; a page has it. */
function spoken(unit: string): string {
  return unit === "C" ? "°C" : unit;
}

export interface StateWords {
  readonly words: string;
  /** Whether the press itself is still to be made. */
  readonly offersTake: boolean;
}

/** How the flag stands: what the plant says if it was asked, else what this phone knows, and no more. */
export function stateWords(view: CardView, take: KeptTake | undefined): StateWords {
  if (view.done) return { words: "done", offersTake: false };
  if (view.taken !== null) return { words: `taken by ${view.taken.by} ${view.taken.at}`, offersTake: false };
  if (take?.state === "not-sent") {
    return { words: "Not sent yet. It will be sent when there is a connection.", offersTake: false };
  }
  if (take?.state === "sent") return { words: `sent: taken by ${take.by}`, offersTake: false };
  const unsure = view.fromPush ? "plant not reached: nobody knows here whether somebody has it" : "not yet taken";
  if (take?.state === "refused") return { words: `Not taken: ${take.why}`, offersTake: !view.fromPush };
  return { words: unsure, offersTake: true };
}
