import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { WireMessageSetUp } from "../../../api/contract/message-wire.ts";
import { ask } from "../../client/ask.ts";
import { siteTimes } from "../../model/times.ts";
import { own, readOwn, setUp } from "../../pocket/pocket-state.ts";
import { type Reason, reasonAgainst } from "../../pocket/set-up-reason.ts";
import { isStale, surroundings } from "../../pocket/subscribe.ts";
import { DeviceList } from "./device-list.tsx";
import { PocketFoot } from "./pocket-app.tsx";
import { SubscribeForm } from "./subscribe-form.tsx";
import { TrialPanel } from "./trial-panel.tsx";

/** Sets a phone up, and says plainly what does not work, so that nobody finds out at night. */
export function SetUpPage(): JSX.Element {
  const [failed, setFailed] = useState<string | null>(null);
  const [stale, setStale] = useState(false);
  const look = (): void => {
    setFailed(null);
    ask<WireMessageSetUp>("/api/messages/set-up").then(
      (answer) => {
        setUp.value = answer;
      },
      (error: unknown) => setFailed(error instanceof Error ? error.message : String(error)),
    );
  };
  useEffect(look, []);
  const device = own.value?.device;
  const about = setUp.value;
  useEffect(() => {
    if (device === undefined || about === null) return;
    isStale(device, about.publicKey).then(setStale, () => setStale(true));
  }, [device, about]);
  return (
    <>
      <header class="pocket-top">
        <h1>Messages to this phone</h1>
        <a href="/pocket">All that waits</a>
      </header>
      <main class="set-up">
        {failed === null ? null : (
          <p role="alert" class="reason" data-reason="server-not-reached">
            <b>This server was not reached: {failed}.</b>{" "}
            <button type="button" onClick={look}>
              Try again
            </button>
          </p>
        )}
        {about === null ? (
          failed === null ? (
            <p class="pocket-note">Asking the server…</p>
          ) : null
        ) : (
          <Steps about={about} stale={stale} />
        )}
      </main>
      <PocketFoot />
    </>
  );
}

function Steps({ about, stale }: { readonly about: WireMessageSetUp; readonly stale: boolean }): JSX.Element {
  const [found, setFound] = useState<Reason | null>(null);
  const device = own.value?.device;
  const reason = found ?? reasonAgainst(surroundings(about));
  return (
    <>
      {about.trouble.map(({ service, status, since }) => (
        <p key={service} role="alert" class="reason" data-reason="server-not-let-in">
          <b>
            {service} does not let this server in ({status}, since {siteTimes(about.zone).minute(Date.parse(since))}).
          </b>{" "}
          Its key, its clock or the contact in its settings is to be put right. Messages to phones of that maker wait.
        </p>
      ))}
      {reason === null ? null : (
        <p role="alert" class="reason" data-reason={reason.code}>
          <b>{reason.words}</b> {reason.doThis}
        </p>
      )}
      {device === undefined ? null : (
        <section>
          <h2>This phone</h2>
          <p>
            Set up as {device.name}, for {device.personName}.
          </p>
          {stale ? (
            <p class="reason" data-reason="stale">
              <b>What this browser subscribed to is not what the server sends to.</b> Set this phone up once more.
            </p>
          ) : null}
          <TrialPanel device={device} zone={about.zone} />
        </section>
      )}
      {reason === null || reason.code === "no-answer" || reason.code === "phone-cannot-reach" ? (
        <section>
          <h2>{device === undefined ? "Set this phone up" : "Set it up once more"}</h2>
          <SubscribeForm
            about={about}
            onResult={(result) => {
              setFound(result);
              void readOwn();
            }}
          />
        </section>
      ) : null}
      <DeviceList persons={about.persons} zone={about.zone} />
      <p class="light">
        A message says which station, what is wrong, the value and what to do first. The push service of the browser's
        maker carries it and cannot read it. Allow this app in the phone's sleep mode, or it stays silent at night.
      </p>
    </>
  );
}
