import { Fault } from "./fault.ts";

/** What the environment says of this process, read once and whole. */
export interface Environment {
  /** Settings file; null when none was named. */
  readonly config: string | null;
  readonly dataFolder: string;
  readonly http: Address;
  /** PEM files of certificate and key, under which HTTP is spoken over TLS; null for plain HTTP. */
  readonly tls: { readonly cert: string; readonly key: string } | null;
  readonly mqtt: Address;
  /** External broker; null means the embedded one. */
  readonly brokerUrl: string | null;
  readonly logLevel: LogLevel;
}

export interface Address {
  readonly host: string;
  /** 0 lets the system choose. */
  readonly port: number;
}

export type LogLevel = (typeof logLevels)[number];

const logLevels = ["fatal", "error", "warn", "info", "debug", "trace", "silent"] as const;

const known = [
  "STEADYPOUR_CONFIG",
  "STEADYPOUR_DATA",
  "STEADYPOUR_HTTP_HOST",
  "STEADYPOUR_HTTP_PORT",
  "STEADYPOUR_TLS_CERT",
  "STEADYPOUR_TLS_KEY",
  "STEADYPOUR_MQTT_HOST",
  "STEADYPOUR_MQTT_PORT",
  "STEADYPOUR_BROKER_URL",
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
    config: text("STEADYPOUR_CONFIG", "") || null,
    dataFolder: text("STEADYPOUR_DATA", "./data"),
    http: { host: host("STEADYPOUR_HTTP_HOST"), port: port("STEADYPOUR_HTTP_PORT", 8080) },
    tls: tlsFiles(text("STEADYPOUR_TLS_CERT", ""), text("STEADYPOUR_TLS_KEY", ""), mistakes),
    mqtt: { host: host("STEADYPOUR_MQTT_HOST"), port: port("STEADYPOUR_MQTT_PORT", 1883) },
    brokerUrl: brokerUrl(text("STEADYPOUR_BROKER_URL", ""), mistakes),
    logLevel: logLevel(text("STEADYPOUR_LOG", "info"), mistakes),
  };
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

function tlsFiles(cert: string, key: string, mistakes: string[]): Environment["tls"] {
  if (cert === "" && key === "") return null;
  if (cert === "") mistakes.push("STEADYPOUR_TLS_CERT: found nothing, expected a file beside STEADYPOUR_TLS_KEY");
  if (key === "") mistakes.push("STEADYPOUR_TLS_KEY: found nothing, expected a file beside STEADYPOUR_TLS_CERT");
  return { cert, key };
}

function brokerUrl(raw: string, mistakes: string[]): string | null {
  if (raw === "") return null;
  if (URL.canParse(raw) && ["mqtt:", "mqtts:", "ws:", "wss:"].includes(new URL(raw).protocol)) return raw;
  mistakes.push(`STEADYPOUR_BROKER_URL: found ${withoutPassword(raw)}, expected a URL such as mqtt://broker:1883`);
  return null;
}

/** A broker's URL may carry a password, which no message and no log may repeat. */
export function withoutPassword(url: string): string {
  return url.replace(/\/\/[^/@]*@/, "//***@");
}

function logLevel(raw: string, mistakes: string[]): LogLevel {
  const level = logLevels.find((one) => one === raw);
  if (level !== undefined) return level;
  mistakes.push(`STEADYPOUR_LOG: found ${raw}, expected one of ${logLevels.join(", ")}`);
  return "info";
}
