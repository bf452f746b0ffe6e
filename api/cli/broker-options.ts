import type { BrokerAccess } from "../../collector/platform/broker-access.ts";
import { brokerAccess } from "../../collector/platform/broker-access.ts";
import { type BrokerSettings, brokerMistakes, isBrokerUrl } from "../../collector/platform/broker-settings.ts";
import { UsageError } from "./usage-error.ts";

/** Options of a command that goes to a broker itself. */
export const brokerOptions = {
  mqtt: { type: "string" },
  user: { type: "string" },
  "password-file": { type: "string" },
  ca: { type: "string" },
  cert: { type: "string" },
  key: { type: "string" },
  "server-name": { type: "string" },
} as const;

export const brokerOptionsHelp = `--mqtt VERSION         3.1.1 (unless told) or 5
--user NAME, --password-file FILE
--ca FILE              PEM of the authorities that are trusted for the broker, and no others
--cert FILE, --key FILE  PEM of our certificate and its key, for a broker that asks for one
--server-name NAME     name in the broker's certificate, where the address has another`;

type Given = Partial<Record<keyof typeof brokerOptions, string | undefined>>;

/** How to reach the broker at an address, by the options. */
export function brokerOf(option: string, url: string, given: Given): BrokerAccess {
  if (!isBrokerUrl(url)) {
    throw new UsageError(`${option}: expected an address such as mqtt://127.0.0.1:1883, without user, password or ?`);
  }
  const { mqtt } = given;
  if (mqtt !== undefined && mqtt !== "3.1.1" && mqtt !== "5") {
    throw new UsageError(`--mqtt: found ${mqtt}, expected 3.1.1 or 5`);
  }
  const settings: BrokerSettings = {
    ...{ url, version: mqtt === "5" ? 5 : "3.1.1", user: given.user, passwordFile: given["password-file"] },
    ...{ caFile: given.ca, certFile: given.cert, keyFile: given.key, serverName: given["server-name"] },
  };
  const names: Partial<Record<keyof BrokerSettings, string>> = {
    ...{ caFile: "--ca", certFile: "--cert", keyFile: "--key" },
    ...{ passwordFile: "--password-file", serverName: "--server-name" },
  };
  const mistakes = brokerMistakes(settings).map(({ key, expected }) => `${names[key] ?? key}: expected ${expected}`);
  if (mistakes.length > 0) throw new UsageError(mistakes.join("\n"));
  const access = brokerAccess(settings, {}, "");
  if (access === null) throw new RangeError("a broker with a URL is one");
  return access();
}
