import {
  ofKind,
  type RoleSample,
  type Run,
  type RunEvent,
  type RunSegmenter,
  type Segment,
} from "../../spc/model/run.ts";
import { type SegmenterConfig, segmenterOf } from "../../spc/segment/segmenter.ts";
import { type SaidAt, setUpOf } from "../../spc/segment/set-ups.ts";
import { heldAfter, heldSinceAfter } from "../../spc/segment/station-context.ts";
import { shiftAt } from "../../spc/segment/working-time.ts";
import type { RunKind, Station } from "../platform/settings/site.ts";
import type { MoreState, OpenRun, StationState } from "./station-state.ts";

/** What of a station's checkpoint is the memory of its cutting. */
export type CutState = Pick<
  StationState,
  "segmenter" | "openSinceMs" | "lastEndMs" | "cutBy" | "more" | "held" | "heldSince" | "open"
>;

/** All kinds of run of one station, from its samples. Same samples, same runs, wherever the stream is cut. */
export interface StationCut {
  readonly initial: CutState;
  /** Tells each run as it closes, those inside before the one around them. `look` is shown each sample first. */
  advance(
    state: CutState,
    samples: readonly RoleSample[],
    closed: (run: Run) => void,
    said?: SaidAt,
    look?: (sample: RoleSample) => void,
  ): CutState;
}

interface Kind extends Pick<RunKind, "id" | "segmentsBy"> {
  readonly segmenter: RunSegmenter<unknown>;
  /** What the memory is of: settings may have changed since the checkpoint. */
  readonly cutBy: string;
  /** The only series whose events tell of these runs; undefined for none. */
  readonly role: string | undefined;
}

/** Most runs inside one that are remembered: no ladle pours more, and a clock that never strikes must fill no memory. */
const MOST_INSIDE = 200;

const nothingSaid: SaidAt = () => ({});

export function stationCut(station: Station): StationCut {
  const first = { segmenter: segmenterOf(station.id, station.segmenter), cutBy: cutByOf(station.segmenter) };
  const more = station.moreRuns.map(
    ({ id, segmentsBy, segmenter }): Kind => ({
      ...{ id, segmentsBy },
      segmenter: segmenterOf(station.id, segmenter),
      cutBy: cutByOf(segmenter),
      role: segmenter.by === "clock" ? undefined : segmenter.role,
    }),
  );
  const holding = new Set(Object.values(station.series).flatMap(({ role, holds }) => (holds ? [role] : [])));

  /** The checkpoint's memory, without what is of another way of cutting. */
  const adopted = (state: CutState): CutState => {
    if (state.cutBy === undefined || state.cutBy === first.cutBy) return state;
    const open = (state.open ?? []).filter(({ kind }) => kind !== null);
    return { ...state, segmenter: first.segmenter.initial, openSinceMs: null, open };
  };
  const memoryOf = ({ more: known }: CutState, kind: Kind): MoreState => {
    const kept = known?.[kind.id];
    if (kept?.cutBy === kind.cutBy) return kept;
    return { cutBy: kind.cutBy, segmenter: kind.segmenter.initial, inside: [] };
  };

  return {
    initial: { segmenter: first.segmenter.initial, openSinceMs: null, lastEndMs: null },
    advance: (before, samples, closed, said = nothingSaid, look) => {
      const from = adopted(before);
      let { segmenter, openSinceMs, lastEndMs, held = {}, heldSince = {}, open = [] } = from;
      const memory = more.map((kind) => memoryOf(from, kind));

      /** Keeps the list of what is open; gives a closed run what held when it began, and its shift. */
      const taken = (event: RunEvent, kind: string | null, atMs: number): Run | null => {
        if (event.kind === "opened") {
          const since = Object.keys(heldSince).length === 0 ? {} : { heldSince };
          open = [...open, { id: event.id, kind, startMs: event.startMs, held, ...since }];
          return null;
        }
        const id = event.kind === "closed" ? event.run.id : event.id;
        const known = open.find((one) => one.id === id);
        open = open.filter((one) => one !== known);
        return event.kind === "closed" ? inContext(event.run, known ?? { held, heldSince }, atMs) : null;
      };
      const inContext = (run: Run, set: Pick<OpenRun, "held" | "heldSince">, atMs: number): Run => {
        const shift = shiftAt(run.startMs, station.shiftClock)?.name ?? null;
        const setUp = setUpOf(set.held, set.heldSince ?? {}, said(run.startMs, atMs));
        return { ...run, context: { ...setUp, ...(shift === null ? {} : { shift }), ...run.context } };
      };

      for (const sample of samples) {
        look?.(sample);
        const setUp = holding.has(sample.role);
        if (setUp) {
          held = heldAfter(held, sample, holding);
          heldSince = heldSinceAfter(heldSince, sample, holding);
        }
        const next = first.segmenter.step(segmenter, setUp ? speechless(sample) : sample);
        segmenter = next.state;
        for (const event of next.out) {
          const run = taken(event, null, sample.tMs);
          openSinceMs = oldest(open);
          if (run === null) continue;
          lastEndMs = run.endMs;
          for (const [at, kind] of more.entries()) memory[at] = withInside(memory[at]!, kind, run, station.runWord);
          closed(run);
        }
        // By places: a pair for each kind and reading would be most of what this makes.
        for (let at = 0; at < more.length; at += 1) {
          const kind = more[at]!;
          const own = sample.role === kind.role && !setUp ? sample : speechless(sample);
          const cut = kind.segmenter.step(memory[at]!.segmenter, own);
          memory[at] = { ...memory[at]!, segmenter: cut.state };
          for (const event of cut.out) {
            const run = taken(ofKind(event, station.id, kind.id), kind.id, sample.tMs);
            if (run === null) continue;
            const inside: readonly Segment[] = memory[at]!.inside;
            memory[at] = { ...memory[at]!, inside: inside.filter(({ toMs }) => toMs > run.endMs) };
            closed(kind.segmentsBy === null ? run : { ...run, segments: segmentsIn(run, inside) });
          }
        }
      }
      return {
        ...{ segmenter, openSinceMs, lastEndMs, cutBy: first.cutBy },
        ...(more.length === 0 ? {} : { more: Object.fromEntries(more.map(({ id }, at) => [id, memory[at]!])) }),
        ...(Object.keys(held).length === 0 ? {} : { held }),
        ...(Object.keys(heldSince).length === 0 ? {} : { heldSince }),
        ...(open.length === 0 ? {} : { open }),
      };
    },
  };
}

/** What decides how a memory is to be read; lines and times may change without it. */
function cutByOf(config: SegmenterConfig): string {
  return config.by === "clock" ? config.by : `${config.by}/${config.role}`;
}

function oldest(open: readonly OpenRun[]): number | null {
  const starts = open.flatMap(({ kind, startMs }) => (kind === null ? [startMs] : []));
  return starts.length === 0 ? null : Math.min(...starts);
}

function speechless(sample: RoleSample): RoleSample {
  if (sample.attributes === undefined) return sample;
  const { attributes: _, ...rest } = sample;
  return rest;
}

function withInside(memory: MoreState, { segmentsBy }: Kind, run: Run, runWord: string): MoreState {
  const place = segmentsBy === null ? undefined : run.context[segmentsBy];
  if (place === undefined || place === "") return memory;
  const one = { name: `${runWord}-${place}`, fromMs: run.startMs, toMs: run.endMs };
  return { ...memory, inside: [...memory.inside, one].slice(-MOST_INSIDE) };
}

/** The runs that lie inside, in time order; of two of one name the later, and none over another. */
function segmentsIn(run: Run, inside: readonly Segment[]): readonly Segment[] {
  const own = inside.filter(({ fromMs, toMs }) => fromMs >= run.startMs && toMs <= run.endMs);
  return own
    .filter(({ name }, at) => own.findLastIndex((other) => other.name === name) === at)
    .filter(({ fromMs }, at, all) => at === 0 || fromMs >= all[at - 1]!.toMs);
}
