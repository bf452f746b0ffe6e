import type { JSX } from "preact";
import type { WireDelivery, WireMessage } from "../../../api/contract/message-wire.ts";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { clockMs, pictureMinuteMs } from "../../client/picture-store.ts";
import { Glyph } from "../../marks/glyph.tsx";
import { labelWords } from "../../model/flag-words.ts";
import { ledgerSteps, ledgerTrouble } from "../../model/message-words.ts";
import { siteTimes } from "../../model/times.ts";
import { evidenceHref } from "../flags/flag-link.ts";

const reasons: Readonly<Record<WireMessage["why"], string>> = {
  opened: "the flag opened",
  raised: "its label rose",
  further: "its worst point moved out",
  again: "nobody had taken it",
  over: "somebody has it",
  trial: "a test by its owner",
};

/** One message: to whom, of what, and how far it came on each device. */
export function LedgerEntry(props: {
  readonly message: WireMessage;
  /** Undefined of a trial, and of a flag too old to be listed. */
  readonly flag: WireFlag | undefined;
  readonly zone: string;
}): JSX.Element {
  const { message, flag, zone } = props;
  const times = siteTimes(zone);
  const what = flag === undefined ? message.title : `flag ${flag.number}: ${message.title}`;
  return (
    <li data-message={message.id} data-person={message.person}>
      {message.why === "trial" ? <span /> : <Glyph label={message.label} px={24} />}
      <div>
        <h3>
          {message.why === "trial" ? null : <span class="unseen">{labelWords(message.label)}: </span>}
          To {message.personName}
          <span class="light">
            {" "}
            {times.near(Date.parse(message.queuedAt), pictureMinuteMs.value)}, {reasons[message.why]}
          </span>
        </h3>
        <p class="what">{flag === undefined ? what : <a href={evidenceHref(flag)}>{what}</a>}</p>
        <p class="light">{message.body.split("\n").join(" · ")}</p>
        {message.deliveries.length === 0 ? <p class="light">Not looked at by the sender yet.</p> : null}
        {message.deliveries.map((delivery) => (
          <Delivered key={delivery.device ?? ""} message={message} delivery={delivery} zone={zone} />
        ))}
      </div>
    </li>
  );
}

function Delivered(props: {
  readonly message: WireMessage;
  readonly delivery: WireDelivery;
  readonly zone: string;
}): JSX.Element {
  const { message, delivery } = props;
  const times = siteTimes(props.zone);
  const trouble = ledgerTrouble(delivery, times);
  return (
    <div class="delivery" data-delivery-state={delivery.state}>
      <p class="device">{delivery.device === null ? "no device" : (delivery.deviceName ?? "a device that is gone")}</p>
      <ol class="steps">
        {ledgerSteps(message, delivery, clockMs.value).map(({ name, words, at, absent }) => (
          <li key={name} data-step={name} data-at={at ?? undefined} class={at === null ? "light" : undefined}>
            <span>{words}</span> <b>{at === null ? absent : times.clock(Date.parse(at))}</b>
          </li>
        ))}
      </ol>
      {trouble === null ? null : (
        <p class="trouble" data-trouble>
          {trouble}
        </p>
      )}
    </div>
  );
}
