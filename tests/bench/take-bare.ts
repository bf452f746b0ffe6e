import { connect } from "mqtt";

/**
 * A bare MQTT.js subscriber as a process: counts what waits at the broker and keeps nothing. `node take-bare.js URL
 * COUNT`; COUNT 0 only makes the session. Prints the seconds from the first message to the last.
 */
const [url = "", countWord = "0"] = process.argv.slice(2);
const count = Number(countWord);
const client = connect(url, { clientId: "bare", clean: false, protocolVersion: 4 });
let got = 0;
let firstMs = 0;
const all = new Promise<void>((resolve) => {
  client.on("message", () => {
    firstMs ||= performance.now();
    got += 1;
    if (got === count) resolve();
  });
});
await new Promise((resolve) => client.once("connect", resolve));
console.log("connected");
if (count === 0) await client.subscribeAsync("ostrimvale/#", { qos: 1 });
else await all;
console.log(JSON.stringify({ seconds: (performance.now() - firstMs) / 1000, ended: Date.now() }));
await client.endAsync();
