import type { LiveFrame, WireFlag, WireFloorCharacteristic } from "../../api/contract/wire.ts";
import type { Floor, FloorChart, StripPoint } from "./floor.ts";
import { mergePoints } from "./merge-points.ts";

/** All that the pages draw from, as of one moment. Replaced whole, never changed in place. */
export interface Picture {
  readonly floor: Floor;
  /** Every flag heard of, open or closed, newest state. */
  readonly flags: ReadonlyMap<string, WireFlag>;
  readonly seq: number;
}

/** Points kept for each strip. */
export const stripPlaces = 120;

export function pictureOf(floor: Floor, before: Picture | null): Picture {
  const flags = new Map(before?.flags);
  for (const flag of floor.flags) flags.set(flag.id, newest(flags.get(flag.id), flag));
  if (before === null || floor.journalSeq >= before.seq) return { floor, flags, seq: floor.journalSeq };
  // Frames overtook the answer: what they brought stays.
  const known = new Map(before.floor.characteristics.map((one) => [one.characteristic.id, one.points]));
  const characteristics = floor.characteristics.map(({ characteristic, points }) =>
    withPoints(characteristic, points, known.get(characteristic.id) ?? []),
  );
  return { floor: { ...floor, characteristics, flags: before.floor.flags }, flags, seq: before.seq };
}

/** The picture with one frame laid over it. */
export function withFrame(picture: Picture, frame: LiveFrame): Picture {
  if (frame.type === "values") {
    const fresh = new Map(frame.freshness.map((one) => [one.station, one]));
    const known = picture.floor.freshness.map((one) => fresh.get(one.station) ?? one);
    const seen = new Set(known.map((one) => one.station));
    const freshness = [...known, ...frame.freshness.filter((one) => !seen.has(one.station))];
    return { ...picture, floor: { ...picture.floor, now: frame.now, freshness, door: frame.door } };
  }
  if (frame.type !== "changes") return picture;
  const changed = frame.flags.reduce(withFlag, picture);
  const come = new Map<string, StripPoint[]>();
  for (const point of frame.points) {
    const list = come.get(point.characteristic);
    if (list === undefined) come.set(point.characteristic, [point]);
    else list.push(point);
  }
  const characteristics = changed.floor.characteristics.map((one) => {
    const points = come.get(one.characteristic.id);
    return points === undefined ? one : withPoints(one.characteristic, one.points, points);
  });
  return { ...changed, floor: { ...changed.floor, now: frame.now, characteristics }, seq: frame.seq };
}

function withPoints(
  characteristic: WireFloorCharacteristic,
  known: readonly StripPoint[],
  come: readonly StripPoint[],
): FloorChart {
  const points = mergePoints(known, come, stripPlaces);
  const latest = points.at(-1) ?? characteristic.latest;
  // What has become part of a point no longer waits for one.
  const waiting = characteristic.waiting.filter(({ at }) => latest === null || at > latest.at);
  return { characteristic: { ...characteristic, latest, waiting }, points };
}

/** A flag as it now stands: open ones stay in the list, a done one leaves it and is counted. */
export function withFlag(picture: Picture, come: WireFlag): Picture {
  const known = picture.flags.get(come.id);
  const flag = newest(known, come);
  const flags = new Map(picture.flags).set(flag.id, flag);
  const others = picture.floor.flags.filter((one) => one.id !== flag.id);
  const open = flag.state === "done" ? others : [...others, flag];
  const { sinceShift } = picture.floor;
  // As the server counts: flags of charts, opened and closed in this shift.
  const inShift = (at: string | undefined): boolean =>
    flag.characteristic !== null &&
    at !== undefined &&
    at >= (picture.floor.shift?.since ?? picture.floor.free?.since ?? "");
  const opened = known === undefined && inShift(flag.first.at) ? 1 : 0;
  const closed = flag.state === "done" && known?.state !== "done" && inShift(flag.done?.at) ? 1 : 0;
  const nowWaiting = open.some((one) => one.state === "waiting");
  const wasWaiting = picture.floor.flags.some((one) => one.state === "waiting");
  const ended = wasWaiting && !nowWaiting ? (flag.done?.at ?? flag.taken?.at ?? picture.floor.now) : null;
  return {
    ...picture,
    flags,
    floor: {
      ...picture.floor,
      flags: open,
      lastWaitingEnded: ended ?? picture.floor.lastWaitingEnded,
      sinceShift: {
        ...sinceShift,
        flags: sinceShift.flags + opened,
        done: sinceShift.done + closed,
      },
    },
  };
}

const stateOrder: readonly WireFlag["state"][] = ["waiting", "taken", "done"];

/** Of two reports of one flag the later: answers and frames may cross on the way. */
function newest(known: WireFlag | undefined, come: WireFlag): WireFlag {
  if (known === undefined) return come;
  const before = stateOrder.indexOf(known.state);
  const after = stateOrder.indexOf(come.state);
  if (after < before || (after === before && come.signals < known.signals)) return known;
  // An answer that was overtaken does not know of it yet, and nobody takes it back.
  return come.unseen === null && known.unseen !== null ? { ...come, unseen: known.unseen } : come;
}

export function charted(picture: Picture, id: string): WireFloorCharacteristic | null {
  return picture.floor.characteristics.find((one) => one.characteristic.id === id)?.characteristic ?? null;
}
