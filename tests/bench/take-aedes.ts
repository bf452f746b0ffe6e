import { createServer } from "node:net";
import { Aedes } from "aedes";

/** aedes alone as a process, which keeps nothing: `node take-aedes.js PORT`, until it is ended. */
const [port = 0] = process.argv.slice(2).map(Number);
const broker = await Aedes.createBroker({ concurrency: 500 });
createServer((socket) => void broker.handle(socket.setNoDelay(true))).listen(port, "127.0.0.1", () => {
  console.log("listening");
});
process.once("SIGTERM", () => process.exit(0));
