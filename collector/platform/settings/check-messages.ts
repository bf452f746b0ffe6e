import { MOST_TITLE, messageTitle, strangeCharacters } from "../../../spc/notify/message-text.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { Checkable } from "./salvage.ts";
import type { StationKind } from "./schema.ts";

type Policy = StationKind["characteristics"][number]["signals"][number];

/**
 * Whether what a phone would show can be shown: titles that need no cutting, and characters that every phone and
 * gateway has. Asked only where messages leave.
 */
export function checkMessages(site: Checkable): readonly Finding[] {
  if (!site.sendsMessages) return [];
  const stations = site.stations.map(({ value }) => value);
  return [
    ...site.stations.flatMap(({ index, value }) => strange(value.id, ["stations", index, "id"])),
    ...Object.entries(site.kinds).flatMap(([name, kind]) => {
      const longest = stations
        .filter((station) => station.kind === name)
        .reduce((most, { id }) => (id.length > most.length ? id : most), "");
      return kindFindings(kind, longest, ["stationKinds", name]);
    }),
  ];
}

function kindFindings(kind: StationKind, station: string, path: SettingsPath): readonly Finding[] {
  return [
    ...strange(kind.runWord, [...path, "runWord"]),
    ...kind.characteristics.flatMap(({ signals }, at) =>
      signals.flatMap((policy, row) => [
        ...policyFindings(policy, station, [...path, "characteristics", at, "signals", row]),
      ]),
    ),
  ];
}

function policyFindings({ label, says, doFirst }: Policy, station: string, path: SettingsPath): readonly Finding[] {
  if (says === undefined) return strange(doFirst ?? "", [...path, "doFirst"]);
  const over = messageTitle(label, station, says).length - MOST_TITLE;
  return [
    ...strange(says, [...path, "says"]),
    ...strange(doFirst ?? "", [...path, "doFirst"]),
    ...(over <= 0
      ? []
      : [
          {
            path: [...path, "says"],
            expected: `${over} fewer characters: ${messageTitle(label, station, says)} is the title of a message, which has at most ${MOST_TITLE}`,
          },
        ]),
  ];
}

function strange(text: string, path: SettingsPath): readonly Finding[] {
  const found = strangeCharacters(text);
  if (found.length === 0) return [];
  return [
    {
      path,
      found: found.join(" "),
      expected: "characters of the 7-bit alphabet of text messages, as this stands in messages to phones",
    },
  ];
}
