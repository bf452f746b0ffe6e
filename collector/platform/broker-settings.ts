/** How an outside broker is reached, as settings and environment say it; what is left out was not said. */
export interface BrokerSettings {
  readonly url?: string | undefined;
  readonly version?: "3.1.1" | 5 | undefined;
  readonly clientId?: string | undefined;
  readonly user?: string | undefined;
  /** Of the environment alone. */
  readonly password?: string | undefined;
  readonly passwordFile?: string | undefined;
  readonly caFile?: string | undefined;
  readonly certFile?: string | undefined;
  readonly keyFile?: string | undefined;
  readonly serverName?: string | undefined;
}

/** Key to variable: what a variable says wins over the settings. */
export const brokerVariables = {
  url: "STEADYPOUR_BROKER_URL",
  version: "STEADYPOUR_BROKER_VERSION",
  clientId: "STEADYPOUR_BROKER_CLIENT_ID",
  user: "STEADYPOUR_BROKER_USER",
  password: "STEADYPOUR_BROKER_PASSWORD",
  passwordFile: "STEADYPOUR_BROKER_PASSWORD_FILE",
  caFile: "STEADYPOUR_BROKER_CA",
  certFile: "STEADYPOUR_BROKER_CERT",
  keyFile: "STEADYPOUR_BROKER_KEY",
  serverName: "STEADYPOUR_BROKER_SERVER_NAME",
} as const satisfies Record<keyof BrokerSettings, string>;

/** Address alone: URLs are logged and shown, and what follows a question mark would be options of a library. */
export function isBrokerUrl(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const { protocol, hostname, username, password, search, hash, pathname } = new URL(text);
  if (!["mqtt:", "mqtts:", "ws:", "wss:"].includes(protocol) || hostname === "") return false;
  if (protocol.startsWith("mqtt") && pathname.length > 1) return false;
  return [username, password, search, hash].every((part) => part === "");
}

/** A broker's URL that is refused may carry a password, which no message and no log may repeat. */
export function withoutPassword(url: string): string {
  return url.replace(/\/\/[^/\s]*@/, "//***@");
}

export interface BrokerMistake {
  readonly key: keyof BrokerSettings;
  readonly expected: string;
}

/** What does not go together. */
export function brokerMistakes(broker: BrokerSettings): readonly BrokerMistake[] {
  const { url = "", user, password, passwordFile, certFile, keyFile, serverName } = broker;
  const secure = url === "" || /^(mqtts|wss):/.test(url);
  const mistakes: BrokerMistake[] = [];
  const wrong = (key: keyof BrokerSettings, expected: string): void => void mistakes.push({ key, expected });
  if (!secure) {
    for (const key of ["caFile", "certFile", "keyFile", "serverName"] as const) {
      if (broker[key] !== undefined) wrong(key, "a broker behind mqtts:// or wss://, since it is about TLS");
    }
  } else if (serverName !== undefined && url.startsWith("wss:")) {
    wrong("serverName", "a broker behind mqtts://: over wss:// the URL itself names the server");
  }
  if (certFile !== undefined && keyFile === undefined) wrong("certFile", "its key beside it (keyFile)");
  if (keyFile !== undefined && certFile === undefined) wrong("keyFile", "its certificate beside it (certFile)");
  if (passwordFile !== undefined && password !== undefined) wrong("passwordFile", "one password, not two");
  for (const key of ["password", "passwordFile"] as const) {
    if (broker[key] !== undefined && user === undefined) wrong(key, "a user beside it");
  }
  return mistakes;
}
