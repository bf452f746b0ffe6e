import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { WireDevice, WireMessageSetUp } from "../../../api/contract/message-wire.ts";
import { ask } from "../../client/ask.ts";
import { deviceWords } from "../../model/message-words.ts";
import { siteTimes } from "../../model/times.ts";
import { own, readOwn } from "../../pocket/pocket-state.ts";
import { remove } from "../../pocket/pocket-store.ts";

interface Props {
  readonly persons: WireMessageSetUp["persons"];
  readonly zone: string;
}

const LOOK_MS = 5_000;

/** Every device that messages go to, and how far it can be relied on. */
export function DeviceList({ persons, zone }: Props): JSX.Element | null {
  const [devices, setDevices] = useState<readonly WireDevice[] | null>(null);
  const [failed, setFailed] = useState<string | null>(null);
  const mine = own.value?.device?.id;
  const look = (): void => {
    ask<{ readonly items: readonly WireDevice[] }>("/api/subscriptions").then(
      ({ items }) => {
        setDevices(items);
        setFailed(null);
      },
      (error: unknown) => setFailed(error instanceof Error ? error.message : String(error)),
    );
  };
  useEffect(() => {
    look();
    const timer = setInterval(look, LOOK_MS);
    return () => clearInterval(timer);
  }, [mine]);
  if (failed !== null) return <p role="alert">The list of devices was not read: {failed}</p>;
  if (devices === null) return null;
  return (
    <section>
      <h2>All devices</h2>
      {devices.length === 0 ? <p class="light">None yet: nobody is reached by a message.</p> : null}
      <ul class="devices">
        {devices.map((device) => (
          <li key={device.id} data-device={device.id} data-device-state={device.state}>
            <b>{persons.find(({ id }) => id === device.person)?.name ?? device.person}</b>, {device.name}
            {device.id === mine ? " (this phone)" : ""}: {deviceWords(device, siteTimes(zone), Date.now())}
            {device.state === "gone" ? null : <TakeOff device={device} onDone={look} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

function TakeOff({ device, onDone }: { readonly device: WireDevice; readonly onDone: () => void }): JSX.Element {
  const [asking, setAsking] = useState(false);
  const [refused, setRefused] = useState<string | null>(null);
  if (!asking) {
    return (
      <button type="button" aria-label={`Take off ${device.name}`} onClick={() => setAsking(true)}>
        Take off
      </button>
    );
  }
  const send = async (pin: string): Promise<void> => {
    try {
      await ask<WireDevice>(`/api/subscriptions/${encodeURIComponent(device.id)}/remove`, { by: device.person, pin });
      if (own.value?.device?.id === device.id) {
        await remove("device", "own");
        await readOwn();
      }
      onDone();
    } catch (error) {
      setRefused(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <form
      class="take-off"
      onSubmit={(event) => {
        event.preventDefault();
        void send(String(new FormData(event.currentTarget).get("pin") ?? ""));
      }}
    >
      <label>
        <span>PIN of its owner</span>
        <input name="pin" type="password" inputMode="numeric" required autocomplete="off" />
      </label>
      <button type="submit">Take it off</button>
      {refused === null ? null : <p role="alert">{refused}</p>}
    </form>
  );
}
