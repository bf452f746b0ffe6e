import { connect } from "mqtt";

/**
 * The baseline: a bare MQTT.js client that counts what its session holds and does nothing else.
 * Words: URL, client id, topic filter, how many; prints the messages a second from the first to the last.
 * With `0` it makes the session and ends.
 */
const [url, clientId, topic, many] = process.argv.slice(2) as [string, string, string, string];
const expected = Number(many);
const client = connect(url, { clientId, clean: false, protocolVersion: 4 });
let seen = 0;
let firstMs = 0;
client.handleMessage = (_packet, done) => {
  if (seen === 0) firstMs = performance.now();
  seen += 1;
  done();
  if (seen === expected) {
    process.stdout.write(`rate ${(1000 * (seen - 1)) / (performance.now() - firstMs)}\n`);
    client.end(true);
  }
};
client.on("connect", ({ sessionPresent }) => {
  if (sessionPresent) return;
  client.subscribe(topic, { qos: 1 }, () => {
    process.stdout.write("subscribed\n");
    if (expected === 0) client.end();
  });
});
