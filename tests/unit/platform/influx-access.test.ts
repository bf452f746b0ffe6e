import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { influxAccess } from "../../../collector/platform/influx-access.ts";
import { influxMistakes, isInfluxUrl } from "../../../collector/platform/influx-settings.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

const url = "http://influx:8086";

test("without an address there is no long-term store, and a lone variable is a mistake", () => {
  expect(influxAccess(null, {})).toBeNull();
  expect(() => influxAccess(null, { database: "steadypour" })).toThrow(
    "STEADYPOUR_INFLUX_DATABASE: found no long-term store, expected STEADYPOUR_INFLUX_URL as well",
  );
});

test("a variable wins over the settings, and files are read anew at each connection", () => {
  const folder = temporaryFolder();
  const passwordFile = join(folder.path, "password");
  writeFileSync(passwordFile, "first\n");
  const access = influxAccess({ url, database: "a", user: "steadypour", passwordFile }, { database: "b" })!;
  const basic = (words: string): string => `Basic ${Buffer.from(`steadypour:${words}`).toString("base64")}`;
  expect(access()).toMatchObject({ url, version: 1, database: "b", authorization: basic("first") });
  writeFileSync(passwordFile, "second");
  expect(access().authorization).toBe(basic("second"));
  const told = influxAccess({ url, database: "a", user: "steadypour", passwordFile }, { password: "third" })!;
  expect(told().authorization).toBe(basic("third"));
  writeFileSync(passwordFile, "\n");
  expect(() => access()).toThrow(
    /password: no use for the password for InfluxDB: the file is empty|password \(read as/,
  );
  folder.remove();
  expect(() => access()).toThrow(/ENOENT/);
});

test("a token is sent as such", () => {
  expect(influxAccess({ url: `${url}/`, version: 3, database: "a" }, { token: "t0" })!()).toMatchObject({
    ...{ url, version: 3, authorization: "Token t0" },
  });
});

test("what does not go together is told, all at once", () => {
  const keys = (settings: Parameters<typeof influxMistakes>[0]): string[] =>
    influxMistakes({ url, ...settings }).map(({ key }) => key);
  expect(keys({ database: "a" })).toEqual([]);
  expect(keys({})).toEqual(["database"]);
  expect(keys({ version: 2, database: "a" })).toEqual(["org", "tokenFile"]);
  expect(keys({ version: 3, database: "a", org: "o", retentionPolicy: "r", token: "t" })).toEqual([
    "retentionPolicy",
    "org",
  ]);
  expect(keys({ database: "a", token: "t" })).toEqual(["token"]);
  expect(keys({ database: "a", password: "p" })).toEqual(["password"]);
  expect(keys({ database: "a", caFile: "ca.pem" })).toEqual(["caFile"]);
  expect(keys({ version: 3, database: "a", user: "u", passwordFile: "p", tokenFile: "t" })).toEqual(["passwordFile"]);
});

test("an address carries neither user nor question", () => {
  expect(isInfluxUrl("https://influx:8086/behind/a/proxy")).toBe(true);
  for (const wrong of ["http://u:p@influx:8086", "http://influx?db=a", "influx:8086", "ftp://influx", "http://"]) {
    expect(isInfluxUrl(wrong), wrong).toBe(false);
  }
});
