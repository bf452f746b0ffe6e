import type { JSX } from "preact";
import { roleNames } from "../../../api/contract/access.ts";
import { changeKinds, type WireChange } from "../../../api/contract/people-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { clockMs, picture } from "../../client/picture-store.ts";
import { amend } from "../../client/route.ts";
import { may, session } from "../../client/session.ts";
import { kindName, valueText } from "../../model/record-words.ts";
import { siteTimes } from "../../model/times.ts";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { RefusedControl } from "./refused-control.tsx";

const filters = ["kind", "person", "subject", "from", "to"] as const;

/** Who changed what, when, why and from where: read backwards, newest first, and never changed itself. */
export function RecordPage({ search }: { readonly search: string }): JSX.Element {
  const given = new URLSearchParams(search);
  const asked = new URLSearchParams({ limit: "200" });
  for (const name of [...filters, "after"]) {
    const value = given.get(name);
    if (value) asked.set(name, name === "from" || name === "to" ? dayStart(value, name) : value);
  }
  const allowed = may("read-own-record");
  const { answer } = useAnswer<{ readonly items: readonly WireChange[]; readonly next: string | null }>(
    allowed ? paths.record(asked.toString()) : null,
  );
  const whole = may("read-record");
  const { value, trouble, refused } = answer.value;
  if (!allowed) {
    return (
      <section class="note">
        <h1>Change Record</h1>
        <RefusedControl right="read-own-record" words="Open it" />
      </section>
    );
  }
  const choose = (form: HTMLFormElement): void => {
    const chosen = new URLSearchParams();
    for (const [name, text] of new FormData(form)) if (text !== "") chosen.set(name, String(text));
    const said = chosen.toString();
    amend(`${pages.record}${said === "" ? "" : `?${said}`}`);
  };
  const kinds = Object.entries(changeKinds).filter(
    ([, what]) => whole || what === "process" || !may("read-process-record"),
  );
  const times = siteTimes(picture.value?.floor.site.zone ?? "UTC");
  return (
    <article class="record-page">
      <header class="title">
        <h1>Change Record</h1>
        <p class="light">
          {whole
            ? "Everything that people changed."
            : may("read-process-record")
              ? processWords(session.value?.person?.areas ?? [])
              : `What ${session.value?.person?.name ?? "you"} changed.`}{" "}
          No row is ever changed or deleted; each carries the hash of the one before.
        </p>
      </header>
      <form
        key={search}
        class="record-filters"
        onSubmit={(event) => {
          event.preventDefault();
          choose(event.currentTarget);
        }}
      >
        <label>
          What
          <select name="kind" value={given.get("kind") ?? ""}>
            <option value="">anything</option>
            {kinds.map(([kind]) => (
              <option key={kind} value={kind} selected={kind === given.get("kind")}>
                {kindName(kind)}
              </option>
            ))}
          </select>
        </label>
        <label>
          Person (account)
          <input name="person" defaultValue={given.get("person") ?? ""} maxLength={60} autocomplete="off" />
        </label>
        <label>
          Chart, flag or account
          <input name="subject" defaultValue={given.get("subject") ?? ""} maxLength={200} autocomplete="off" />
        </label>
        <label>
          From (day, UTC)
          <input name="from" type="date" defaultValue={given.get("from") ?? ""} />
        </label>
        <label>
          To (day, UTC)
          <input name="to" type="date" defaultValue={given.get("to") ?? ""} />
        </label>
        <div class="buttons">
          <button type="submit" class="strong">
            Show
          </button>
          <a href={pages.record}>Show all</a>
        </div>
      </form>
      {trouble !== null && value === null ? (
        <Trouble what="No Change Record" why={trouble} refused={refused} />
      ) : value === null ? (
        <WaitingFor what="Change Record">
          <div class="outline book-outline" />
        </WaitingFor>
      ) : value.items.length === 0 ? (
        <p class="note" role="status">
          No row is so.
        </p>
      ) : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
        <section class="table-scroll" tabIndex={0} aria-label="Rows of the Change Record, newest first">
          <table class="record">
            <thead>
              <tr>
                <th scope="col">Row</th>
                <th scope="col">When</th>
                <th scope="col">Who</th>
                <th scope="col">What</th>
                <th scope="col">Before</th>
                <th scope="col">After</th>
                <th scope="col">Reason</th>
              </tr>
            </thead>
            <tbody>
              {value.items.map((row) => (
                <tr key={row.n} data-row={row.n} data-kind={row.kind}>
                  <td title={`hash ${row.hash}`}>{row.n}</td>
                  <td>
                    <time dateTime={row.at}>{times.near(Date.parse(row.at), clockMs.value)}</time>
                    {row.clock === "synchronised" ? null : (
                      <span class="light"> {row.clock === "stepped" ? "clock was set" : "clock not checked"}</span>
                    )}
                  </td>
                  <td>
                    {row.by.name}
                    <span class="light">
                      {" "}
                      {row.by.role in roleNames ? roleNames[row.by.role as keyof typeof roleNames] : row.by.role},{" "}
                      {row.by.device}
                    </span>
                  </td>
                  <td>
                    {kindName(row.kind)} <span class="light">{row.subject}</span>
                  </td>
                  <td>{valueText(row.old)}</td>
                  <td>{valueText(row.new)}</td>
                  <td>{row.reason}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      {value?.next == null ? null : (
        <p>
          <a href={older(given, value.next)}>Older rows</a>
        </p>
      )}
    </article>
  );
}

function processWords(areas: readonly string[]): string {
  if (areas.length === 0) return "What people changed of flags, limits and settings.";
  return `What people changed of flags and limits in your area (${areas.join(", ")}), and what you changed.`;
}

function older(given: URLSearchParams, next: string): string {
  const more = new URLSearchParams(given);
  more.set("after", next);
  return `${pages.record}?${more.toString()}`;
}

/** A day as it is typed: from its beginning, or to its end. */
function dayStart(day: string, name: "from" | "to"): string {
  const ms = Date.parse(`${day}T00:00:00Z`);
  if (Number.isNaN(ms)) return day;
  return new Date(name === "from" ? ms : ms + 86_400_000).toISOString();
}
