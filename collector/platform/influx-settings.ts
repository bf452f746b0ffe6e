/** How the long-term store is reached, as settings and environment say it; what is left out was not said. */
export interface InfluxSettings {
  readonly url?: string | undefined;
  /** Of InfluxDB: its ways of writing and of letting people in differ. */
  readonly version?: 1 | 2 | 3 | undefined;
  /** With 2 the name of the bucket. */
  readonly database?: string | undefined;
  /** With 1 only; the database's own where left out. */
  readonly retentionPolicy?: string | undefined;
  /** With 2 only. */
  readonly org?: string | undefined;
  readonly user?: string | undefined;
  /** Of the environment alone. */
  readonly password?: string | undefined;
  readonly passwordFile?: string | undefined;
  /** Of the environment alone. */
  readonly token?: string | undefined;
  readonly tokenFile?: string | undefined;
  readonly caFile?: string | undefined;
}

/** Key to variable: what a variable says wins over the settings. */
export const influxVariables = {
  url: "STEADYPOUR_INFLUX_URL",
  version: "STEADYPOUR_INFLUX_VERSION",
  database: "STEADYPOUR_INFLUX_DATABASE",
  org: "STEADYPOUR_INFLUX_ORG",
  retentionPolicy: "STEADYPOUR_INFLUX_RETENTION_POLICY",
  user: "STEADYPOUR_INFLUX_USER",
  password: "STEADYPOUR_INFLUX_PASSWORD",
  passwordFile: "STEADYPOUR_INFLUX_PASSWORD_FILE",
  token: "STEADYPOUR_INFLUX_TOKEN",
  tokenFile: "STEADYPOUR_INFLUX_TOKEN_FILE",
  caFile: "STEADYPOUR_INFLUX_CA",
} as const satisfies Record<keyof InfluxSettings, string>;

/** Address alone: URLs are logged and shown. */
export function isInfluxUrl(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const { protocol, hostname, username, password, search, hash } = new URL(text);
  if (!["http:", "https:"].includes(protocol) || hostname === "") return false;
  return [username, password, search, hash].every((part) => part === "");
}

export interface InfluxMistake {
  readonly key: keyof InfluxSettings;
  readonly expected: string;
}

/** What does not go together. */
export function influxMistakes(influx: InfluxSettings): readonly InfluxMistake[] {
  const { url, version = 1, database, user } = influx;
  const mistakes: InfluxMistake[] = [];
  const wrong = (key: keyof InfluxSettings, expected: string): void => void mistakes.push({ key, expected });
  const given = (key: keyof InfluxSettings): boolean => influx[key] !== undefined;
  if (url === undefined) return mistakes;
  if (database === undefined) wrong("database", "the database (with version 2 the bucket) that readings go to");
  if (url.startsWith("http:") && given("caFile")) wrong("caFile", "an address with https://, since it is about TLS");
  if (version !== 1 && given("retentionPolicy")) {
    wrong("retentionPolicy", "version 1: with 2 and 3 the bucket or database has its own retention");
  }
  if (version !== 2 && given("org")) wrong("org", "version 2: the others have no organisations");
  if (version === 2 && !given("org")) wrong("org", "the organisation that the bucket belongs to");
  if (given("password") && given("passwordFile")) wrong("passwordFile", "one password, not two");
  if (given("token") && given("tokenFile")) wrong("tokenFile", "one token, not two");
  for (const key of ["password", "passwordFile"] as const) {
    if (given(key) && user === undefined) wrong(key, "a user beside it");
    if (given(key) && version !== 1) wrong(key, "version 1: with 2 and 3 a token lets us in");
  }
  for (const key of ["token", "tokenFile"] as const) {
    if (given(key) && version === 1) wrong(key, "version 2 or 3: with 1 a user and a password let us in");
  }
  if (version !== 1 && !given("token") && !given("tokenFile")) {
    wrong("tokenFile", "a file with a token that may read and write there");
  }
  return mistakes;
}
