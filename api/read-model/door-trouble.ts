import type { WireDoorTrouble } from "../contract/wire.ts";
import type { SourceFigures } from "../parts.ts";
import { instant } from "./wire-form.ts";

/** What is lost stays lost, so it is shown for a shift; two clients with one id meet again within half a minute. */
const lostShownMs = 8 * 3_600_000;
const sharedShownMs = 10 * 60_000;
/** A collector that was overtaken is started again by whatever watches over it. */
const aloneShownAfterMs = 30_000;

/** What people must know of the way in, the gravest first. */
export function doorTroubles(
  { collector, connected, broker, linesAway, pair }: SourceFigures,
  nowMs: number,
): WireDoorTrouble[] {
  // How the broker stands is not known then.
  if (!collector) return [{ code: "collector-away", at: null, messages: null }];
  if (linesAway.length > 0) {
    return linesAway.map(({ line, sinceMs, trouble }) => {
      return { code: `line-${trouble}`, at: instant(sinceMs), messages: null, line };
    });
  }
  const away: WireDoorTrouble[] = connected ? [] : [{ code: "broker-away", at: null, messages: null }];
  const alone = aloneOf(pair, nowMs);
  if (broker === null) return [...away, ...alone];
  const { takenOver, sessionsLost, dropped } = broker;
  const recent = (
    code: WireDoorTrouble["code"],
    lastMs: number | null | undefined,
    shownMs: number,
    messages: number | null = null,
  ): WireDoorTrouble[] => (lastMs != null && nowMs - lastMs < shownMs ? [{ code, at: instant(lastMs), messages }] : []);
  return [
    ...recent("client-id-shared", takenOver.lastMs, sharedShownMs),
    ...away,
    ...recent("session-lost", sessionsLost.lastMs, lostShownMs),
    ...recent("messages-dropped", dropped?.lastMs, lostShownMs, dropped?.count),
    ...alone,
  ];
}

function aloneOf(pair: SourceFigures["pair"], nowMs: number): WireDoorTrouble[] {
  if (pair === null || pair.aloneSinceMs === null || nowMs - pair.aloneSinceMs < aloneShownAfterMs) return [];
  return [{ code: "standby-missing", at: instant(pair.aloneSinceMs), messages: null, collector: pair.active }];
}
