import type { Bus } from "../collector/platform/bus.ts";
import type { Clock } from "../collector/platform/clock.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import type {
  CollectorStatus,
  CollectorView,
  LineAway,
  MessageService,
  MessageWords,
  PairStatus,
} from "../collector/start.ts";
import type { Journal } from "../collector/store/journal.ts";
import type { MessageBook } from "../collector/store/message-book.ts";
import type { ReadingPort } from "../collector/store/reading-port.ts";
import type { SampleReader } from "../collector/store/sample-store.ts";
import type { Access } from "./people/access.ts";
import type { Mistake } from "./problem.ts";
import type { ReadModel } from "./read-model/read-model.ts";
import type { StationFreshness } from "./read-model/wire-form.ts";

/** What the routes are made from. `main.ts` puts it together, and so do tests. */
export interface ApiParts {
  readonly site: Site;
  readonly samples: SampleReader;
  /** Readings over any time, wherever they are kept. */
  readonly readings: ReadingPort;
  readonly journal: Journal;
  readonly bus: Bus;
  readonly clock: Clock;
  readonly model: ReadModel;
  /** Takes readings that did not come by the broker. */
  readonly post: CollectorView["post"];
  readonly process: ProcessStatus;
  readonly messages: MessageParts;
  readonly access: Access;
  /** Hears of our own defects: an error, and what was being done. */
  readonly report: (error: unknown, words: string) => void;
  readonly version: string;
  /** Shows lines that decide for themselves. */
  readonly central?: boolean;
  /** Folder of the built pages. */
  readonly webFolder: string;
}

export interface MessageParts extends MessageWords {
  readonly book: MessageBook;
  /** Null where the settings name no contact, and so no messages leave. */
  readonly publicKey: string | null;
  /** Push services that do not let this server in. */
  readonly trouble: MessageService["trouble"];
}

/** How the rest of the process stands, asked anew at each call. */
export interface ProcessStatus {
  /** What is lacking before readings can arrive, be kept and be seen; empty when nothing is. */
  lacking(): readonly Mistake[];
  source(): SourceFigures;
  /** By source, how far its clock is ahead of ours, where that is known. */
  clockOffsetsMs(): ReadonlyMap<string, number>;
  /** Messages that came at QoS 0 since the process began. */
  unconfirmed(): number;
  /** By station: how far, in source time, cutting into runs lies behind the newest reading. */
  lagMs(): ReadonlyMap<string, number>;
  freshness(): readonly StationFreshness[];
  liveClients(): number;
  /** Readings that were let go since the collector began. */
  letGo(): number;
  /** How the copy in the long-term store stands; null where there is none. */
  readonly longTerm: CollectorView["longTerm"];
}

export interface SourceFigures {
  /** Whether a collector is there that looks. */
  readonly collector: boolean;
  /** Of a process that shows several lines: those of which nothing new comes. */
  readonly linesAway: readonly LineAway[];
  /** Of two collectors of which one stands by: how the pair stands; null where there is one. */
  readonly pair: PairStatus | null;
  readonly connected: boolean;
  readonly unacknowledged: number;
  readonly reconnects: number;
  readonly broker: CollectorStatus["source"]["broker"];
}
