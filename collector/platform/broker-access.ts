import { createSecureContext } from "node:tls";
import { type BrokerSettings, brokerMistakes, brokerVariables } from "./broker-settings.ts";
import { Fault } from "./fault.ts";
import { secretFiles } from "./secret-file.ts";

const files = secretFiles("broker-access-unusable");

/** All that a connection to an outside broker needs, secrets among it: never logged, never shown. */
export interface BrokerAccess {
  readonly url: string;
  /** 4 is MQTT 3.1.1. */
  readonly protocolVersion: 4 | 5;
  readonly clientId: string;
  readonly username?: string;
  readonly password?: string;
  readonly ca?: string;
  readonly cert?: string;
  readonly key?: string;
  readonly servername?: string;
}

/**
 * Puts together what settings and environment say of an outside broker; null where neither names one. What is returned
 * reads the files anew at each call, so that a renewed certificate or password is taken up with the next connection; it
 * throws a Fault `broker-access-unusable`.
 */
export function brokerAccess(
  settings: BrokerSettings | null,
  environment: BrokerSettings,
  usualClientId: string,
): (() => BrokerAccess) | null {
  const merged: BrokerSettings = { ...settings, ...environment };
  // A variable with the password itself stands for the settings' file, and the other way round.
  const broker: BrokerSettings = {
    ...merged,
    ...(environment.password === undefined ? {} : { passwordFile: environment.passwordFile }),
  };
  const { url } = broker;
  const lone = Object.keys(environment)[0] as keyof BrokerSettings | undefined;
  if (url === undefined) {
    if (lone === undefined) return null;
    throw wrong(`${brokerVariables[lone]}: found no broker that it is about, expected ${brokerVariables.url} as well`);
  }
  const mistakes = brokerMistakes(broker);
  if (mistakes.length > 0) {
    const lines = mistakes.map(
      ({ key, expected }) => `${brokerVariables[key]}, or ${key} of broker: expected ${expected}`,
    );
    throw wrong(lines.join("\n"));
  }
  return () => access(broker, url, usualClientId);
}

function access(broker: BrokerSettings, url: string, usualClientId: string): BrokerAccess {
  const ca = text(broker.caFile, "the broker's authorities");
  const cert = text(broker.certFile, "our certificate");
  const key = text(broker.keyFile, "our certificate's key");
  if (ca !== undefined && !ca.includes("-----BEGIN CERTIFICATE-----")) {
    throw files.unusable(broker.caFile ?? "", "the broker's authorities", "found no certificate in PEM form");
  }
  try {
    createSecureContext({ ca, cert, key });
  } catch (cause) {
    const named = [broker.caFile, broker.certFile, broker.keyFile].filter((file) => file !== undefined).join(", ");
    throw files.unusable(named, "TLS to the broker", (cause as Error).message, cause);
  }
  const { passwordFile } = broker;
  const password =
    broker.password ?? (passwordFile === undefined ? undefined : files.secret(passwordFile, "the broker's password"));
  return {
    url,
    protocolVersion: broker.version === 5 ? 5 : 4,
    clientId: broker.clientId ?? usualClientId,
    ...(broker.user === undefined ? {} : { username: broker.user }),
    ...(password === undefined ? {} : { password }),
    ...(ca === undefined ? {} : { ca }),
    ...(cert === undefined || key === undefined ? {} : { cert, key }),
    ...(broker.serverName === undefined ? {} : { servername: broker.serverName }),
  };
}

function text(file: string | undefined, what: string): string | undefined {
  return file === undefined ? undefined : files.text(file, what);
}

function wrong(words: string): Fault {
  return new Fault("environment-invalid", words, { retryable: false });
}
