import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { WireMessage } from "../../../api/contract/message-wire.ts";
import { ask, Refused } from "../../client/ask.ts";
import { siteTimes } from "../../model/times.ts";
import type { OwnDevice } from "../../pocket/pocket-store.ts";
import { trialSteps, trialVerdict } from "../../pocket/trial-words.ts";

/** How long the ledger is asked about a trial, and how often. */
const FOLLOW_MS = 130_000;
const ASK_MS = 1_000;

/** *Test my phone*: each state with its own time, and what to make of it. */
export function TrialPanel({ device, zone }: { readonly device: OwnDevice; readonly zone: string }): JSX.Element {
  const [message, setMessage] = useState<WireMessage | null>(null);
  const [startedMs, setStartedMs] = useState<number | null>(null);
  const [nowMs, setNowMs] = useState(0);
  const [refused, setRefused] = useState<string | null>(null);
  const id = message?.id;

  useEffect(() => {
    if (id === undefined || startedMs === null) return;
    const timer = setInterval(() => {
      setNowMs(Date.now());
      if (Date.now() - startedMs > FOLLOW_MS) clearInterval(timer);
      // Unanswered for once: the next second asks again, and the times that are known stand.
      ask<WireMessage>(`/api/messages/${encodeURIComponent(id)}`).then(setMessage, () => undefined);
    }, ASK_MS);
    return () => clearInterval(timer);
  }, [id, startedMs]);

  const test = async (): Promise<void> => {
    setRefused(null);
    setMessage(null);
    try {
      const sent = await ask<WireMessage>("/api/messages/test", { device: device.id, secret: device.secret });
      setMessage(sent);
      setStartedMs(Date.now());
      setNowMs(Date.now());
    } catch (error) {
      setRefused(`${error instanceof Refused ? "Not tested" : "Server not reached"}: ${(error as Error).message}`);
    }
  };
  const delivery = message?.deliveries.find((one) => one.device === device.id) ?? message?.deliveries[0] ?? null;
  const verdict = message === null ? null : trialVerdict(delivery, nowMs - (startedMs ?? nowMs));
  const times = siteTimes(zone);
  return (
    <div class="trial">
      <button type="button" class="strong" onClick={() => void test()}>
        Test my phone
      </button>
      {refused === null ? null : (
        <p role="alert" class="reason" data-reason="trial-refused">
          <b>{refused}</b>
        </p>
      )}
      {message === null ? null : (
        <ol data-trial={message.id}>
          {trialSteps(delivery).map(({ state, words, at }) => (
            <li key={state} data-state={state} data-at={at ?? undefined} class={at === null ? "light" : ""}>
              {words} <b>{at === null ? "not yet" : times.clock(Date.parse(at))}</b>
            </li>
          ))}
        </ol>
      )}
      <p role="status" data-verdict>
        {verdict ?? (message === null ? "" : "Waiting…")}
      </p>
    </div>
  );
}
