import { Fault } from "./fault.ts";
import { type InfluxSettings, influxMistakes, influxVariables } from "./influx-settings.ts";
import { secretFiles } from "./secret-file.ts";

const files = secretFiles("influx-access-unusable");

/** All that a connection to the long-term store needs, secrets among it: never logged, never shown. */
export interface InfluxAccess {
  readonly url: string;
  readonly version: 1 | 2 | 3;
  readonly database: string;
  readonly retentionPolicy: string | null;
  readonly org: string;
  /** Value of the header `Authorization`; null where nobody is asked. */
  readonly authorization: string | null;
  readonly ca: string | null;
}

/**
 * Puts together what settings and environment say of the long-term store; null where neither names one. What is returned
 * reads the files anew at each call, so that a renewed password needs no restart; it throws a Fault
 * `influx-access-unusable`.
 */
export function influxAccess(
  settings: InfluxSettings | null,
  environment: InfluxSettings,
): (() => InfluxAccess) | null {
  const influx: InfluxSettings = {
    ...settings,
    ...environment,
    // A variable with the secret itself stands for the settings' file, and the other way round.
    ...(environment.password === undefined ? {} : { passwordFile: environment.passwordFile }),
    ...(environment.token === undefined ? {} : { tokenFile: environment.tokenFile }),
  };
  const { url } = influx;
  const lone = Object.keys(environment)[0] as keyof InfluxSettings | undefined;
  if (url === undefined) {
    if (lone === undefined) return null;
    throw wrong(`${influxVariables[lone]}: found no long-term store, expected ${influxVariables.url} as well`);
  }
  const mistakes = influxMistakes(influx);
  if (mistakes.length > 0) {
    const lines = mistakes.map(
      ({ key, expected }) => `${influxVariables[key]}, or ${key} of influx: expected ${expected}`,
    );
    throw wrong(lines.join("\n"));
  }
  const { version = 1, database = "", retentionPolicy, org = "" } = influx;
  return () => ({
    ...{ url: url.replace(/\/+$/, ""), version, database, org },
    retentionPolicy: retentionPolicy ?? null,
    authorization: authorization(influx),
    ca: influx.caFile === undefined ? null : files.text(influx.caFile, "the authorities of InfluxDB"),
  });
}

function authorization({ user, password, passwordFile, token, tokenFile }: InfluxSettings): string | null {
  const given = token ?? (tokenFile === undefined ? undefined : files.secret(tokenFile, "the token for InfluxDB"));
  if (given !== undefined) return `Token ${given}`;
  if (user === undefined) return null;
  const word = password ?? (passwordFile === undefined ? "" : files.secret(passwordFile, "the password for InfluxDB"));
  return `Basic ${Buffer.from(`${user}:${word}`).toString("base64")}`;
}

function wrong(words: string): Fault {
  return new Fault("environment-invalid", words, { retryable: false });
}
