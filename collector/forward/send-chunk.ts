import { InfluxTrouble } from "../store/influx/influx-trouble.ts";
import type { InfluxWriter } from "../store/influx/influx-writer.ts";

export interface Sent {
  /** Places of lines that InfluxDB will not have, with what it said. */
  readonly refused: readonly { readonly place: number; readonly code: string; readonly words: string }[];
  /** Lines that are older than its retention policy keeps. */
  readonly beyondRetention: number;
}

/** More lines at fault in one chunk than this are no lines at fault: something is wrong with the whole. */
const MOST_REFUSED = 50;

/**
 * Writes a chunk. One that is refused is halved until the lines at fault stand alone; where InfluxDB lists them itself
 * only the others are written again. Good lines may so be written twice, which changes nothing. Rejects with an
 * InfluxTrouble when InfluxDB is away, will not have us, or refuses line after line.
 */
export async function sendChunk(
  writer: Pick<InfluxWriter, "write">,
  lines: readonly string[],
  precision: "ms" | "ns",
): Promise<Sent> {
  const refused: { readonly place: number; readonly code: string; readonly words: string }[] = [];
  let beyondRetention = 0;
  const refuse = (place: number, trouble: Pick<InfluxTrouble, "code" | "message">): void => {
    refused.push({ place, code: trouble.code, words: trouble.message });
    if (refused.length <= MOST_REFUSED) return;
    const words = `InfluxDB refuses line after line, the last time because: ${trouble.message}`;
    throw new InfluxTrouble("configuration", "influx-refuses-all", words);
  };
  const send = async (places: readonly number[]): Promise<void> => {
    if (places.length === 0) return;
    let trouble: InfluxTrouble;
    try {
      return await writer.write(
        places.map((place) => lines[place]!),
        precision,
      );
    } catch (error) {
      if (!(error instanceof InfluxTrouble) || error.kind !== "refused") throw error;
      trouble = error;
    }
    if (trouble.code === "influx-beyond-retention") {
      beyondRetention += trouble.dropped ?? places.length;
      return;
    }
    const listed = trouble.listed.filter(({ line }) => line >= 1 && line <= places.length);
    if (listed.length > 0) {
      for (const { line, words } of listed) refuse(places[line - 1]!, { code: trouble.code, message: words });
      const bad = new Set(listed.map(({ line }) => line - 1));
      return send(places.filter((_, i) => !bad.has(i)));
    }
    if (places.length === 1) return refuse(places[0]!, trouble);
    const middle = places.length >> 1;
    await send(places.slice(0, middle));
    await send(places.slice(middle));
  };
  await send(lines.map((_, place) => place));
  return { refused, beyondRetention };
}
