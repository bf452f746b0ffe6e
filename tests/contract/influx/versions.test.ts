import { afterEach, expect, test } from "vitest";
import { influxQuery } from "../../../collector/store/influx/influx-query.ts";
import { influxReadings } from "../../../collector/store/influx/influx-readings.ts";
import { eventually } from "../../eventually.ts";
import { throwAwayAuthority } from "../notify/throw-away-authority.ts";
import { pressure, reading } from "../store/incoming.ts";
import { accessTo, type ForwardRig, forwardRig, site } from "./forward-rig.ts";
import { type InfluxStub, influxStub } from "./influx-stub.ts";

// No real server of version 2 or 3: a stub that answers as their documentation says (see there).

const t0 = Date.UTC(2026, 4, 20);
let stub: InfluxStub | null = null;
let rig: ForwardRig | null = null;
afterEach(async () => {
  await rig?.remove();
  await stub?.stop();
  rig = stub = null;
});

const bucket = "plant/forever";
async function begun(version: 2 | 3, more: Parameters<typeof accessTo>[1] = {}): Promise<ForwardRig> {
  const opened = await influxStub(version, "secret-token", version === 2 ? bucket : "plant");
  stub = opened;
  const place = version === 2 ? { org: "ostrimvale", database: bucket } : { database: "plant" };
  rig = forwardRig(() => accessTo(opened.url, { version, authorization: "Token secret-token", ...place, ...more }));
  rig.add(Array.from({ length: 6_000 }, (_, i) => reading(t0 + 10_000 * i, i / 8)));
  rig.add([reading(t0 + 1, null)]);
  rig.begin();
  return rig;
}

test.each([2, 3] as const)(
  "version %i: lines by its own path and token, counts and readings by InfluxQL",
  async (version) => {
    const { arrived, store } = await begun(version);
    await arrived();
    const writes = stub!.requests.filter(({ path }) => path === "/api/v2/write");
    expect(writes.length).toBeGreaterThan(1);
    const params = Object.fromEntries(writes[0]!.params);
    expect(params).toEqual(
      version === 2 ? { org: "ostrimvale", bucket, precision: "ms" } : { bucket: "plant", precision: "ms" },
    );
    const asked = stub!.requests.find(({ path }) => path === "/query")!;
    // A bucket `name/policy` is mapped to both.
    expect([asked.params.get("db"), asked.params.get("rp")]).toEqual(
      version === 2 ? ["plant", "forever"] : ["plant", null],
    );
    expect([...stub!.points.keys()].filter((key) => key.startsWith("reading,"))).toHaveLength(6_001);
    const query = influxQuery(
      accessTo(stub!.url, { version, database: version === 2 ? bucket : "plant", authorization: "Token secret-token" }),
    );
    const range = { series: pressure, fromMs: t0, toMs: t0 + 60_000 };
    const far = await influxReadings(query, site).read(range, { includeLate: true });
    query.close();
    expect(far).toEqual(store().read(range, { includeLate: true }));
  },
);

test.each([2, 3] as const)("version %i: a wiped bucket gets all again", async (version) => {
  const { arrived } = await begun(version);
  await arrived();
  stub!.wipe();
  const back = (): boolean => [...stub!.points.keys()].filter((key) => key.startsWith("reading,")).length === 6_001;
  await eventually("all is there again", back, 30_000);
});

test.each([2, 3] as const)("version %i: a line at fault goes to quarantine, all others arrive", async (version) => {
  const made = await begun(version);
  await made.arrived();
  stub!.refuses = `value=4242 `;
  made.add([reading(t0 + 100_000_000, 1), reading(t0 + 100_000_001, 4242), reading(t0 + 100_000_002, 3)]);
  await made.arrived();
  expect(
    made
      .forwarder()
      .refused(5)
      .map(({ tMs, code }) => [tMs, code]),
  ).toEqual([[t0 + 100_000_001, "influx-line-refused"]]);
  expect(made.forwarder().refused(5)[0]!.words).toContain(
    version === 3 ? "invalid column type" : "field type conflict",
  );
});

test.each([
  [
    "another token",
    2,
    { authorization: "Token other" },
    "influx-refuses-us",
    /does not let us in, look at user, password or token/,
  ],
  ["another bucket", 2, { database: "nowhere" }, "influx-no-database", /has no such database or bucket/],
  [
    "another version",
    3,
    { version: 2, org: "o" },
    "influx-wrong-version",
    /says that it is version 3\.2\.1, the settings say 2/,
  ],
] as const)("%s is said at the start", async (_, version, more, code, words) => {
  const { forwarder } = await begun(version, more);
  const trouble = await eventually("it is said", () => forwarder().status().trouble);
  expect(trouble.code).toBe(code);
  expect(trouble.words).toMatch(words);
  expect(trouble.words).not.toMatch(/secret|other/);
});

test("over TLS it is known by the authority of the settings, and by no other", async () => {
  const authority = throwAwayAuthority();
  stub = await influxStub(3, "secret-token", "plant", authority);
  const { url } = stub;
  let ca: string | null = null;
  rig = forwardRig(() => accessTo(url, { version: 3, database: "plant", authorization: "Token secret-token", ca }));
  rig.add([reading(t0, 1)]);
  rig.begin();
  const { forwarder, arrived } = rig;
  const trouble = await eventually("it is not known", () => forwarder().status().trouble);
  expect(trouble).toMatchObject({ code: "influx-away", words: expect.stringMatching(/certificate/) });
  ca = authority.authority;
  await arrived();
  authority.remove();
});
