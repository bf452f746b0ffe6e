import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { earlierWords } from "../../model/earlier-words.ts";
import { siteTimes } from "../../model/times.ts";
import { askEarlier } from "../../pocket/pocket-state.ts";

/** Usual causes and history of a chart, asked for when somebody wants them: the card itself stays one instruction. */
export function EarlierFlags(props: { readonly characteristic: string; readonly zone: string }): JSX.Element {
  const { characteristic } = props;
  const [open, setOpen] = useState(false);
  const [found, setFound] = useState<readonly WireFlag[] | "failed" | null>(null);
  useEffect(() => {
    if (open) askEarlier(characteristic).then(setFound, () => setFound("failed"));
  }, [open, characteristic]);
  return (
    <details class="earlier" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Usual causes and history</summary>
      {found === null ? (
        <p class="light">Asking the plant…</p>
      ) : found === "failed" ? (
        <p>The plant did not answer. Close and open this to ask again.</p>
      ) : (
        <Found found={found} {...props} />
      )}
    </details>
  );
}

function Found(props: {
  readonly found: readonly WireFlag[];
  readonly characteristic: string;
  readonly zone: string;
}): JSX.Element {
  const { causes, lines } = earlierWords(props.found, siteTimes(props.zone), Date.now());
  if (causes === null) return <p>No flag of this chart was closed before.</p>;
  return (
    <>
      <p data-usual-causes>Closed before with: {causes}.</p>
      <ul>
        {lines.map(({ flag, text }) => (
          <li key={flag}>
            <a href={pages.evidence(props.characteristic, flag)}>{text}</a>
          </li>
        ))}
      </ul>
    </>
  );
}
