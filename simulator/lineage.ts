import { aluminiumParts, type Part, partOfFlask, partsOf } from "./plant-layout.ts";

/*
 * Which batch came out of which: the plant's own bookkeeping, as arithmetic on run numbers. Any run's origin can so be told
 * without the days before it. Numbers may be negative: the past.
 *
 * Clusters come in blocks of eight, five of aluminium and three of iron, as their tables take them: one each 576 s and
 * 960 s. A cluster is one flask's.
 */

export interface FlaskOf {
  readonly aluminium: boolean;
  readonly ordinal: number;
}

const blockOf = { aluminium: 5, iron: 3 } as const;

export function clusterOfFlask({ aluminium, ordinal }: FlaskOf): number {
  const size = aluminium ? blockOf.aluminium : blockOf.iron;
  const block = Math.floor(ordinal / size);
  return 8 * block + (ordinal - size * block) + (aluminium ? 0 : blockOf.aluminium);
}

export function flaskOfCluster(cluster: number): FlaskOf {
  const block = Math.floor(cluster / 8);
  const place = cluster - 8 * block;
  return place < blockOf.aluminium
    ? { aluminium: true, ordinal: blockOf.aluminium * block + place }
    : { aluminium: false, ordinal: blockOf.iron * block + place - blockOf.aluminium };
}

export function partOfCluster(cluster: number): Part {
  const { aluminium, ordinal } = flaskOfCluster(cluster);
  return partOfFlask(partsOf(aluminium), ordinal);
}

export const clusterName = (cluster: number): string => `CU-${700_000 + cluster}`;
export const patternName = (cluster: number, pattern: number): string => `PT-${700_000 + cluster}-${pattern + 1}`;

/** The castings of a cluster, in the order of their places on the tree. */
export function castingNames(cluster: number): string[] {
  const { castings } = partOfCluster(cluster);
  return Array.from({ length: castings }, (_, place) => `CA-${700_000 + cluster}-${place + 1}`);
}

/** How many runs of the cluster bench, 360 s each, lie between a cluster's making and its flask: 33 hours. */
export const benchLead = 330;

/** Dips of the robot, 180 s each: even ones are first coats, 30 hours before the flask, odd ones second, 20 hours. */
const coatLead = [600, 400] as const;

export function clusterOfDip(dip: number): { readonly cluster: number; readonly coat: 1 | 2 } {
  const odd = ((dip % 2) + 2) % 2;
  return odd === 0 ? { cluster: (dip + coatLead[0]) / 2, coat: 1 } : { cluster: (dip - 1 + coatLead[1]) / 2, coat: 2 };
}

export function dipOfCluster(cluster: number, coat: 1 | 2): number {
  return coat === 1 ? 2 * cluster - coatLead[0] : 2 * cluster + 1 - coatLead[1];
}

export interface Joint {
  readonly cluster: number;
  readonly pattern: number;
  /** Which joint of the pattern, from 0. */
  readonly joint: number;
}

/** Joints in the order of the flasks; 30 flasks, ten of each part, have so many. */
const jointsOf = { aluminium: 100, iron: 70 } as const;
/** Joints between a joint's making and its flask: about 39 hours. */
const jointLead = { aluminium: 800, iron: 340 } as const;

/** Which joint a glue cell makes in its n-th run: GL-1 and GL-2 take turns at aluminium, GL-3 has the iron. */
export function jointOfCell(cell: string, run: number): Joint {
  const aluminium = cell !== "GL-3";
  const line = aluminium ? "aluminium" : "iron";
  const ordinal = (aluminium ? 2 * run + (cell === "GL-2" ? 1 : 0) : run) + jointLead[line];
  const cycle = Math.floor(ordinal / jointsOf[line]);
  let rest = ordinal - cycle * jointsOf[line];
  let flask = 30 * cycle;
  for (const { castings, slices } of partsOf(aluminium)) {
    const each = castings * (slices - 1);
    if (rest < 10 * each) {
      flask += Math.floor(rest / each);
      const within = rest % each;
      const cluster = clusterOfFlask({ aluminium, ordinal: flask });
      return { cluster, pattern: Math.floor(within / (slices - 1)), joint: within % (slices - 1) };
    }
    rest -= 10 * each;
    flask += 10;
  }
  throw new RangeError(`no joint ${ordinal}`);
}

/** The cell and run that made a joint. */
export function cellOfJoint({ cluster, pattern, joint }: Joint): { readonly cell: string; readonly run: number } {
  const { aluminium, ordinal } = flaskOfCluster(cluster);
  const line = aluminium ? "aluminium" : "iron";
  const cycle = Math.floor(ordinal / 30);
  const inCycle = ordinal - 30 * cycle;
  let before = 0;
  partsOf(aluminium).forEach(({ castings, slices }, place) => {
    const flasks = Math.min(10, Math.max(0, inCycle - 10 * place));
    before += flasks * castings * (slices - 1);
  });
  const { slices } = partOfCluster(cluster);
  const at = cycle * jointsOf[line] + before + pattern * (slices - 1) + joint - jointLead[line];
  if (!aluminium) return { cell: "GL-3", run: at };
  const odd = ((at % 2) + 2) % 2;
  return { cell: odd === 0 ? "GL-1" : "GL-2", run: (at - odd) / 2 };
}

/** Shots of a press between two changes of its tool. */
const toolLot = 84;
const shotMs = 345_000;
/** A slice is this old, or so, when its flask is filled: four days. */
const sliceLeadMs = 96 * 3_600_000;

interface Tooling {
  readonly part: string;
  readonly press: string;
  /** Which of two tools that take turns; null for one that stays. */
  readonly turn: 0 | 1 | null;
}

const tooling: readonly Tooling[] = [
  { part: "OFW-2107", press: "PR-01", turn: null },
  { part: "OFW-2115", press: "PR-02", turn: null },
  { part: "OFW-2130", press: "PR-03", turn: 0 },
  { part: "OFW-3319", press: "PR-03", turn: 1 },
  { part: "OFW-3304", press: "PR-04", turn: 0 },
  { part: "OFW-3312", press: "PR-04", turn: 1 },
];

export function partOfShot(press: string, shot: number): string {
  const turn = ((Math.floor(shot / toolLot) % 2) + 2) % 2;
  return (tooling.find((t) => t.press === press && (t.turn === null || t.turn === turn)) as Tooling).part;
}

export interface SliceOrigin {
  readonly press: string;
  readonly shot: number;
  /** 1 or 2. */
  readonly cavity: number;
}

/**
 * The shot and cavity that a slice of a pattern of a cluster came from. Slices are used in the order in which they were
 * made; a press makes some more than are used, so some are passed over.
 */
export function originOfSlice(cluster: number, pattern: number, slice: number): SliceOrigin {
  const { aluminium, ordinal } = flaskOfCluster(cluster);
  const { id, castings, slices } = partOfCluster(cluster);
  const { press, turn } = tooling.find((t) => t.part === id) as Tooling;
  const cycle = Math.floor(ordinal / 30);
  const used = ((10 * cycle + ((ordinal - 30 * cycle) % 10)) * castings + pattern) * slices + slice;
  const madePerMs = (turn === null ? 2 : 1) / shotMs;
  const usedPerMs = (10 * castings * slices) / (30 * (aluminium ? 576_000 : 960_000));
  const made = Math.floor(used * (madePerMs / usedPerMs)) - Math.round(sliceLeadMs * madePerMs);
  const ofPart = Math.floor(made / 2);
  const lot = Math.floor(ofPart / toolLot);
  const shot = turn === null ? ofPart : (2 * lot + turn) * toolLot + (ofPart - lot * toolLot);
  return { press, shot, cavity: made - 2 * ofPart + 1 };
}

/** Which pre-expander's bead a part is made of. */
export function preExpanderOf(part: string): "PX-1" | "PX-2" {
  return aluminiumParts.some(({ id }) => id === part) ? "PX-1" : "PX-2";
}

/** Batches of one silo fill, and hours that a batch takes. */
export const batchesOfFill = 6;

export function siloOfFill(preExpander: string, fill: number): string {
  const place = (((fill % 4) + 4) % 4) + (preExpander === "PX-1" ? 1 : 5);
  return `SI-0${place}`;
}

export const fillName = (preExpander: string, fill: number): string =>
  `SF-${preExpander === "PX-1" ? "A" : "F"}${40_000 + fill}`;

/** Batches of one lot of raw bead: five days. The second pre-expander's lot changes on day 11 of the plant's life. */
export function lotOfBatch(preExpander: string, batch: number): string {
  const number = Math.floor((batch + (preExpander === "PX-1" ? 48 : 120)) / 120);
  return `BL-${preExpander === "PX-1" ? "A" : "F"}${3000 + number}`;
}
