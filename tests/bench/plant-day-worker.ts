import { plant } from "../../simulator/plant.ts";
import type { Source } from "../../simulator/plant-layout.ts";
import type { HalfSaid } from "./plant-day.ts";

const [hoursWord, ...sourceWords] = process.argv.slice(2);
const hours = Number(hoursWord);
const sources = sourceWords as Source[];
const firstMs = Date.UTC(2026, 10, 24, 5);
const windowMs = 60_000;
const works = plant({ seed: 7, firstMs }, []);
const before = process.cpuUsage();
let [messages, readings, bytes, quarterMb] = [0, 0, 0, 0];
const heapMb = (): number => {
  globalThis.gc?.();
  return process.memoryUsage().heapUsed / 1e6;
};
const toMs = firstMs + hours * 3_600_000;
for (let t = firstMs; t < toMs; t += windowMs) {
  for (const source of sources) {
    for (const { kind, items, body } of works.messages(source, t, t + windowMs)) {
      messages += 1;
      readings += items;
      bytes += JSON.stringify({ v: 1, kind, source, seq: messages, ...body }).length;
    }
  }
  if (t - firstMs === (hours / 4) * 3_600_000) quarterMb = heapMb();
}
const { user, system } = process.cpuUsage(before);
const said: HalfSaid = { messages, readings, bytes, cpuSeconds: (user + system) / 1e6, quarterMb, endMb: heapMb() };
process.send?.(said, () => process.disconnect());
