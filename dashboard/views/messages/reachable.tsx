import type { JSX } from "preact";
import type { WireDevice, WireMessageSetUp } from "../../../api/contract/message-wire.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { labelWords } from "../../model/flag-words.ts";
import { deviceWords, hoursWords } from "../../model/message-words.ts";
import type { SiteTimes } from "../../model/times.ts";

/** Who is told of what, when, and on which devices. */
export function Reachable(props: {
  readonly setUp: WireMessageSetUp;
  /** Null before they are known. */
  readonly devices: readonly WireDevice[] | null;
  readonly times: SiteTimes;
}): JSX.Element {
  const { setUp, devices, times } = props;
  const told = setUp.persons.filter(({ labels }) => labels.length > 0);
  return (
    <section aria-labelledby="reachable" class="reachable">
      <h2 id="reachable">Who is told</h2>
      {told.length === 0 ? <p>Nobody: no person in the settings has labels.</p> : null}
      <ul>
        {told.map(({ id, name, labels, hours, after }) => {
          const own = devices?.filter((one) => one.person === id) ?? [];
          const live = own.some(({ state }) => state !== "gone");
          return (
            <li key={id} data-told={id}>
              <p>
                <b>{name}</b> <span class="light">{labels.map(labelWords).join(", ")}</span>
              </p>
              <p>
                {hoursWords(hours)}
                {after === null ? null : <span class="light">, of what nobody has taken for {after}</span>}
              </p>
              {devices === null ? (
                <p class="light">devices …</p>
              ) : (
                <ul>
                  {live ? null : (
                    <li class="none">
                      <b>no device: not reachable</b>
                    </li>
                  )}
                  {own.map((device) => (
                    <li key={device.id} data-device-state={device.state}>
                      {device.name}: {deviceWords(device, times, pictureMinuteMs.value)}
                    </li>
                  ))}
                </ul>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
