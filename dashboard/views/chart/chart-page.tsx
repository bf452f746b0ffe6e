import { useComputed, useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../../api/contract/wire.ts";
import { paths } from "../../client/paths.ts";
import { picture } from "../../client/picture-store.ts";
import { mergePoints } from "../../model/merge-points.ts";
import { charted } from "../../model/picture.ts";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { ChartDrawing } from "./chart-drawing.tsx";
import { ChartTable } from "./chart-table.tsx";
import { ChartTitle } from "./chart-title.tsx";
import { ChartWords } from "./chart-words.tsx";

const mostPoints = 2_000;

/** One chart pair with its evidence: what flagged, what the limits rest on, what the process can do. */
export function ChartPage({ id, flag }: { readonly id: string; readonly flag: string | null }): JSX.Element {
  const one = useAnswer<WireCharacteristic>(paths.characteristic(id));
  const listed = useAnswer<{ readonly items: readonly WirePoint[]; readonly next: string | null }>(paths.points(id));
  const flagList = useAnswer<{ readonly items: readonly WireFlag[] }>(paths.flags);
  const known = useComputed(
    () =>
      new Map([
        ...(flagList.answer.value.value?.items.map((one) => [one.id, one] as const) ?? []),
        ...(picture.value?.flags ?? []),
      ]),
  );
  const span = useSignal<number | null>(null);
  const asTable = useSignal(false);
  const points = useComputed(() => {
    const live = picture.value?.floor.characteristics.find((entry) => entry.characteristic.id === id)?.points ?? [];
    return mergePoints(listed.answer.value.value?.items ?? [], live, mostPoints);
  });
  const now = picture.value;
  const live = now === null ? null : charted(now, id);
  // Capability hangs on flags and limits, which the stream tells of without it: asked for anew when they change.
  const stands = useComputed(() => standing(id));
  const before = useRef("");
  useEffect(() => {
    if (before.current !== "" && before.current !== stands.value) one.again();
    before.current = stands.value;
  }, [stands.value, one.again]);
  const told = one.answer.value.value;
  const characteristic =
    told === null ? live : { ...told, limits: live?.limits ?? told.limits, waiting: live?.waiting ?? told.waiting };
  const trouble = one.answer.value.trouble ?? listed.answer.value.trouble;
  if (now === null || characteristic === null || listed.answer.value.value === null) {
    if (trouble === null) return <WaitingFor what="Chart" />;
    const refused = one.answer.value.refused || listed.answer.value.refused;
    return <Trouble what={`No chart of ${id}`} why={trouble} refused={refused} />;
  }
  const asked = flag === null ? null : (known.value.get(flag) ?? null);
  const flags = flagsHere(known.value, id, asked);
  const choice = span.value ?? spanFor(points.value, asked);
  const shown = points.value.slice(-choice);
  return (
    <article class="chart-page">
      <ChartTitle
        characteristic={characteristic}
        picture={now}
        flags={flags}
        asTable={asTable}
        span={span}
        shown={choice}
        all={points.value.length}
        more={listed.answer.value.value.next !== null}
      />
      {shown.length === 0 ? (
        <p class="note">No {characteristic.runWord} has come in yet.</p>
      ) : asTable.value ? (
        <ChartTable characteristic={characteristic} points={shown} flags={known.value} zone={now.floor.site.zone} />
      ) : (
        <ChartDrawing
          characteristic={characteristic}
          points={shown}
          flags={known.value}
          asked={asked ?? flags[0] ?? null}
          zone={now.floor.site.zone}
        />
      )}
      <ChartWords
        characteristic={characteristic}
        points={points.value}
        flag={asked ?? flags[0] ?? null}
        zone={now.floor.site.zone}
      />
    </article>
  );
}

/** What limits and flags a chart has, as one word to compare by. */
function standing(id: string): string {
  const now = picture.value;
  if (now === null) return "";
  const open = now.floor.flags.filter((flag) => flag.characteristic === id).map((flag) => flag.id);
  return [charted(now, id)?.limits?.id, ...open].join(" ");
}

/** Open flags of this chart, the one asked for first; it stays though it is closed. */
function flagsHere(all: ReadonlyMap<string, WireFlag>, id: string, asked: WireFlag | null): readonly WireFlag[] {
  const open = [...all.values()].filter((flag) => flag.characteristic === id && flag.state !== "done");
  return asked === null ? open : [asked, ...open.filter((flag) => flag.id !== asked.id)];
}

/** The newest 120 points, or as many as reach back before the flag that was asked for. */
function spanFor(points: readonly WirePoint[], asked: WireFlag | null): number {
  const first = asked === null ? -1 : points.findIndex((point) => point.flag === asked.id && point.signals.length > 0);
  return first < 0 ? 120 : Math.max(120, points.length - first + 20);
}
