import type { FlagState } from "../../spc/flags/flag.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { WireFlag } from "../contract/wire.ts";
import { instant, instantOrNull } from "./wire-form.ts";

/** A flag as pages know it; `characteristic` is null for an instrument, or when the settings no longer have it. */
export function wireFlag(flag: FlagState, characteristic: Characteristic | null): WireFlag {
  const { first, last, worst, cameBack, unseen, taken, done } = flag;
  return {
    id: flag.id,
    number: flag.number,
    run: flag.run,
    runs: [...flag.runs],
    station: flag.station,
    characteristic: flag.characteristic,
    part: characteristic?.part ?? null,
    name: characteristic?.name ?? flag.characteristic ?? flag.series.join(", "),
    says: flag.says,
    label: flag.label,
    doFirst: flag.doFirst,
    state: flag.state,
    signals: flag.signals,
    rules: [...flag.rules],
    unit: characteristic?.unit ?? null,
    digits: characteristic?.digits ?? 0,
    first: { at: instant(first.atMs), value: first.value, line: first.line, side: first.side, on: first.on },
    last: { at: instant(last.atMs), value: last.value, run: last.run, on: last.on },
    worst: {
      at: instant(worst.atMs),
      value: worst.value,
      line: worst.line,
      run: worst.run,
      z: worst.z,
      on: worst.on,
    },
    late: flag.late,
    foundAt: instant(flag.foundMs),
    cameBack: cameBack === null ? null : { ...cameBack },
    unseen: unseen === null ? null : { shift: unseen.shift, at: instant(unseen.atMs) },
    taken: taken === null ? null : { by: taken.by, at: instant(taken.atMs) },
    done: done === null ? null : { by: done.by, at: instant(done.atMs), cause: done.cause, note: done.note },
    ...furtherOf(flag),
  };
}

/** What only some flags have. */
function furtherOf({ evidence, faultOverMs, common, parent }: FlagState): Partial<WireFlag> {
  return {
    ...(evidence === undefined ? {} : { evidence }),
    ...(faultOverMs === undefined ? {} : { faultOver: instantOrNull(faultOverMs) }),
    ...(common === undefined
      ? {}
      : {
          common: {
            ...{ name: common.name, feeds: common.feeds, of: common.of },
            children: common.children.map(({ flag, station, atMs }) => ({ flag, station, at: instant(atMs) })),
          },
        }),
    ...(parent === undefined ? {} : { parent }),
  };
}
