import { type BrokerSettings, brokerVariables, isBrokerUrl, withoutPassword } from "./broker-settings.ts";
import { Fault } from "./fault.ts";
import { type InfluxSettings, influxVariables, isInfluxUrl } from "./influx-settings.ts";

/** What the environment says of this process, read once and whole. */
export interface Environment {
  /** What this process does; both unless told otherwise. */
  readonly roles: Roles;
  /** Name of this collector among two that share a folder, one of which stands by; null for one that is alone. */
  readonly pair: string | null;
  /** Settings file; null when none was named. */
  readonly config: string | null;
  readonly dataFolder: string;
  /** Where this line's journal is copied to, for others; null for nowhere. */
  readonly journalCopy: string | null;
  /** Folder with the copies of several lines, all of which this process shows; null for a line of our own. */
  readonly lines: string | null;
  readonly http: Address;
  /** PEM files of certificate and key, under which HTTP is spoken over TLS; null for plain HTTP. */
  readonly tls: { readonly cert: string; readonly key: string } | null;
  readonly mqtt: Address;
  /** What the variables say of an outside broker; without a URL there or in the settings it is the embedded one. */
  readonly broker: BrokerSettings;
  /** What the variables say of a long-term store. */
  readonly influx: InfluxSettings;
  readonly logLevel: LogLevel;
}

/** `collector` takes readings and judges them, `api` serves pages and takes what people decide. */
export type Roles = Readonly<Record<(typeof roleNames)[number], boolean>>;

export interface Address {
  readonly host: string;
  /** 0 lets the system choose. */
  readonly port: number;
}

export type LogLevel = (typeof logLevels)[number];

const roleNames = ["collector", "api"] as const;
const logLevels = ["fatal", "error", "warn", "info", "debug", "trace", "silent"] as const;

const known = [
  "STEADYPOUR_ROLES",
  "STEADYPOUR_STANDBY",
  "STEADYPOUR_CONFIG",
  "STEADYPOUR_DATA",
  "STEADYPOUR_JOURNAL_COPY",
  "STEADYPOUR_LINES",
  "STEADYPOUR_HTTP_HOST",
  "STEADYPOUR_HTTP_PORT",
  "STEADYPOUR_TLS_CERT",
  "STEADYPOUR_TLS_KEY",
  "STEADYPOUR_MQTT_HOST",
  "STEADYPOUR_MQTT_PORT",
  ...Object.values(brokerVariables),
  ...Object.values(influxVariables),
  "STEADYPOUR_LOG",
] as const;

/** Reads `STEADYPOUR_*`; a Fault `environment-invalid` lists every mistake, one a line. An empty value counts as none. */
export function readEnvironment(variables: Readonly<Record<string, string | undefined>>): Environment {
  const mistakes = unknownNames(variables);
  const text = (name: (typeof known)[number], otherwise: string): string => variables[name]?.trim() || otherwise;
  const port = (name: (typeof known)[number], otherwise: number): number => {
    const raw = text(name, String(otherwise));
    if (/^\d{1,5}$/.test(raw) && Number(raw) <= 65_535) return Number(raw);
    mistakes.push(`${name}: found ${raw}, expected a port from 0 to 65535`);
    return otherwise;
  };
  const host = (name: (typeof known)[number]): string => {
    const raw = text(name, "127.0.0.1");
    if (/^[A-Za-z0-9.:_-]+$/.test(raw)) return raw;
    mistakes.push(`${name}: found ${raw}, expected a host name or an address`);
    return raw;
  };
  const environment: Environment = {
    roles: rolesOf(text("STEADYPOUR_ROLES", roleNames.join(",")), mistakes),
    pair: text("STEADYPOUR_STANDBY", "") || null,
    config: text("STEADYPOUR_CONFIG", "") || null,
    dataFolder: text("STEADYPOUR_DATA", "./data"),
    journalCopy: text("STEADYPOUR_JOURNAL_COPY", "") || null,
    lines: text("STEADYPOUR_LINES", "") || null,
    http: { host: host("STEADYPOUR_HTTP_HOST"), port: port("STEADYPOUR_HTTP_PORT", 8080) },
    tls: tlsFiles(text("STEADYPOUR_TLS_CERT", ""), text("STEADYPOUR_TLS_KEY", ""), mistakes),
    mqtt: { host: host("STEADYPOUR_MQTT_HOST"), port: port("STEADYPOUR_MQTT_PORT", 1883) },
    broker: brokerSettings((name) => text(name, ""), mistakes),
    influx: influxSettings((name) => text(name, ""), mistakes),
    logLevel: logLevel(text("STEADYPOUR_LOG", "info"), mistakes),
  };
  if (environment.lines !== null && environment.roles.collector) {
    mistakes.push(
      "STEADYPOUR_LINES: found a folder, expected STEADYPOUR_ROLES=api beside it: it shows lines and takes no readings",
    );
  }
  if (environment.lines !== null && environment.journalCopy !== null) {
    mistakes.push("STEADYPOUR_JOURNAL_COPY: found a folder, expected none beside STEADYPOUR_LINES");
  }
  checkPair(environment, mistakes);
  if (mistakes.length === 0) return environment;
  throw new Fault("environment-invalid", mistakes.join("\n"), { retryable: false });
}

function unknownNames(variables: Readonly<Record<string, string | undefined>>): string[] {
  const names: readonly string[] = known;
  return Object.keys(variables)
    .filter((name) => name.startsWith("STEADYPOUR_") && !names.includes(name))
    .sort()
    .map((name) => `${name}: no such variable, expected one of ${known.join(", ")}`);
}

function rolesOf(raw: string, mistakes: string[]): Roles {
  const names = raw.split(",").map((name) => name.trim());
  if (names.some((name) => !roleNames.some((role) => role === name))) {
    mistakes.push(`STEADYPOUR_ROLES: found ${raw}, expected collector, api or both with a comma between`);
  }
  return { collector: names.includes("collector"), api: names.includes("api") };
}

function checkPair({ pair, roles }: Pick<Environment, "pair" | "roles">, mistakes: string[]): void {
  if (pair === null) return;
  if (!/^[A-Za-z0-9][A-Za-z0-9_-]{0,31}$/.test(pair)) {
    mistakes.push(`STEADYPOUR_STANDBY: found ${pair}, expected a name of letters, digits, - and _, such as a or b`);
  }
  if (roles.api) {
    mistakes.push(
      "STEADYPOUR_STANDBY: found a name, expected STEADYPOUR_ROLES=collector beside it: pages are served by a process of their own",
    );
  }
}

function tlsFiles(cert: string, key: string, mistakes: string[]): Environment["tls"] {
  if (cert === "" && key === "") return null;
  if (cert === "") mistakes.push("STEADYPOUR_TLS_CERT: found nothing, expected a file beside STEADYPOUR_TLS_KEY");
  if (key === "") mistakes.push("STEADYPOUR_TLS_KEY: found nothing, expected a file beside STEADYPOUR_TLS_CERT");
  return { cert, key };
}

/** What the variables of a group say, by their keys. */
function saidOf<K extends string>(
  variables: Readonly<Record<K, (typeof known)[number]>>,
  text: (name: (typeof known)[number]) => string,
): Partial<Record<K, string>> {
  const entries = Object.entries<(typeof known)[number]>(variables).flatMap(([key, name]) =>
    text(name) === "" ? [] : [[key, text(name)]],
  );
  return Object.fromEntries(entries) as Partial<Record<K, string>>;
}

function brokerSettings(text: (name: (typeof known)[number]) => string, mistakes: string[]): BrokerSettings {
  const { url, version, ...rest } = saidOf(brokerVariables, text);
  if (url !== undefined && !isBrokerUrl(url)) {
    const expected = "mqtt://broker:1883 or the like, without user, password or ?";
    mistakes.push(`${brokerVariables.url}: found ${withoutPassword(url)}, expected ${expected}`);
  }
  if (version !== undefined && version !== "3.1.1" && version !== "5") {
    mistakes.push(`${brokerVariables.version}: found ${version}, expected 3.1.1 or 5`);
  }
  return {
    ...rest,
    ...(url === undefined ? {} : { url }),
    ...(version === undefined ? {} : { version: version === "5" ? 5 : "3.1.1" }),
  };
}

function influxSettings(text: (name: (typeof known)[number]) => string, mistakes: string[]): InfluxSettings {
  const { url, version, ...rest } = saidOf(influxVariables, text);
  if (url !== undefined && !isInfluxUrl(url)) {
    const expected = "http://influx:8086 or the like, without user, password or ?";
    mistakes.push(`${influxVariables.url}: found ${withoutPassword(url)}, expected ${expected}`);
  }
  const known = ([1, 2, 3] as const).find((one) => String(one) === version);
  if (version !== undefined && known === undefined) {
    mistakes.push(`${influxVariables.version}: found ${version}, expected 1, 2 or 3`);
  }
  return { ...rest, ...(url === undefined ? {} : { url }), ...(known === undefined ? {} : { version: known }) };
}

function logLevel(raw: string, mistakes: string[]): LogLevel {
  const level = logLevels.find((one) => one === raw);
  if (level !== undefined) return level;
  mistakes.push(`STEADYPOUR_LOG: found ${raw}, expected one of ${logLevels.join(", ")}`);
  return "info";
}
