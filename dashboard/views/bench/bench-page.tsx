import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { WireBenchList } from "../../../api/contract/bench-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { limitsNews, picture } from "../../client/picture-store.ts";
import { amend } from "../../client/route.ts";
import { phoneWidth, windowSize } from "../../client/window-size.ts";
import { benchAddress, benchSearch } from "../../model/bench-address.ts";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { Bench } from "./bench.tsx";
import { BenchList } from "./bench-list.tsx";

const refreshMs = 30_000;

/** The engineer's page: charts by need on the left, one of them in full beside them. On a phone one at a time. */
export function BenchPage({ id, search }: { readonly id: string | null; readonly search: string }): JSX.Element {
  const list = useAnswer<WireBenchList>(paths.benchList);
  const phone = windowSize.value.width < phoneWidth;
  const zone = picture.value?.floor.site.zone ?? null;
  const news = `${picture.value?.floor.flags.map((flag) => flag.id).join(" ")} ${limitsNews.value.size}`;
  useEffect(() => {
    if (list.answer.peek().value !== null) list.again();
  }, [news, list.again, list.answer]);
  useEffect(() => {
    const timer = setInterval(list.again, refreshMs);
    return () => clearInterval(timer);
  }, [list.again]);
  const { value, trouble, refused } = list.answer.value;
  const first = value?.items[0]?.characteristic.id ?? null;
  useEffect(() => {
    if (id === null && !phone && first !== null) amend(pages.bench(first));
  }, [id, phone, first]);
  if (value === null && trouble !== null && id === null) {
    return <Trouble what="No list of charts" why={trouble} refused={refused} />;
  }
  return (
    <div class="bench-page">
      {phone && id !== null ? null : value === null ? (
        <WaitingFor what="Chart Bench">
          <div class="outline bench-list-outline" />
        </WaitingFor>
      ) : (
        <BenchList items={value.items} here={id} />
      )}
      <div class="bench-main" id="bench-chart" tabIndex={-1}>
        {id === null || zone === null ? (
          phone || (value !== null && first === null) ? null : (
            <WaitingFor what="Chart" />
          )
        ) : (
          <>
            {phone ? (
              <p class="back">
                <a href={pages.bench()}>All charts by need</a>
              </p>
            ) : null}
            <Bench
              key={id}
              id={id}
              address={benchAddress(search)}
              zone={zone}
              go={(next) => amend(pages.bench(id, benchSearch(next)))}
            />
          </>
        )}
      </div>
    </div>
  );
}
