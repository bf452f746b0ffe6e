import type { InstrumentPlan } from "../../../spc/health/instrument-plan.ts";
import type { Characteristic } from "../../../spc/model/characteristic.ts";
import type { SegmenterConfig } from "../../../spc/segment/segmenter.ts";
import type { ShiftClock } from "../../../spc/segment/station-context.ts";
import type { weekdays } from "../../../spc/segment/working-time.ts";
import type { BrokerSettings } from "../broker-settings.ts";
import type { InfluxSettings } from "../influx-settings.ts";
import type { DoorsSettings } from "./doors-schema.ts";
import type { InstrumentSettings, SupplySettings } from "./instrument-schema.ts";
import type { MessagesSettings, PersonSettings } from "./people-schema.ts";
import type { Retention } from "./retention-schema.ts";
import type { SourceSettings } from "./source-schema.ts";

export interface ShiftSettings {
  readonly name: string;
  readonly from: string;
  readonly days?: readonly (typeof weekdays)[number][] | undefined;
}

/** The settings, resolved: durations in milliseconds, kinds written out, ids made. What every part of us reads. */
export interface Site {
  readonly name: string;
  readonly zone: string;
  readonly ambientPressureHpa: number;
  readonly ambientPressureOrigin: string;
  readonly shifts: readonly ShiftSettings[];
  readonly shiftClock: ShiftClock;
  readonly latenessMs: number;
  readonly lines: readonly { readonly id: string; readonly name: string }[];
  readonly stages: readonly string[];
  readonly sources: readonly SourceSettings[];
  /** An outside broker; null for the embedded one. */
  readonly broker: BrokerSettings | null;
  /** The long-term store; null where readings are kept here alone. */
  readonly influx: InfluxSettings | null;
  readonly stations: readonly Station[];
  readonly supplies: readonly SupplySettings[];
  readonly causes: readonly string[];
  readonly persons: readonly PersonSettings[];
  /** Null where no messages are sent. */
  readonly messages: MessagesSettings | null;
  readonly doors: DoorsSettings;
  readonly retention: Retention;
  /** What readings may take on the disk; null for no bound. */
  readonly diskBudgetBytes: number | null;
}

export interface Station {
  readonly id: string;
  readonly kind: string;
  readonly line: string;
  readonly source: string;
  readonly fedBy: readonly string[];
  readonly stage: string;
  readonly runWord: string;
  /** Role to series. */
  readonly series: Readonly<Record<string, SiteSeries>>;
  /** Series of other stations, by the role that features here know them by. */
  readonly borrowed: Readonly<Record<string, Borrowed>>;
  readonly segmenter: SegmenterConfig;
  /** Further kinds of run, cut beside the first. */
  readonly moreRuns: readonly RunKind[];
  /** Of all kinds of run. */
  readonly plans: readonly CharacteristicPlan[];
  readonly shiftClock: ShiftClock;
  /** What a person may say is set up there. */
  readonly context: readonly ContextWord[];
}

export interface ContextWord {
  /** As a run's context has it. */
  readonly key: string;
  readonly name: string;
  /** None where any word may be said. */
  readonly choices: readonly string[];
  readonly prefix: string | null;
}

export interface Borrowed {
  /** Word of a run's context that names the lender; null where there is one for all runs. */
  readonly by: string | null;
  /** By that word; the only one under an empty word. */
  readonly from: Readonly<Record<string, SiteSeries>>;
}

export interface RunKind {
  readonly id: string;
  readonly runWord: string;
  readonly segmenter: SegmenterConfig;
  /** Attribute by which runs of the first kind that ended inside become its segments; null for none. */
  readonly segmentsBy: string | null;
}

export interface SiteSeries {
  /** `${station}/${role}`; a waveform's reduced series are `${station}/${role}.rms` and so on. */
  readonly id: string;
  readonly role: string;
  readonly station: string;
  readonly source: string;
  readonly kind: "reading" | "waveform" | "event";
  readonly quantity: string;
  readonly reference: string | null;
  readonly unit: string;
  /** Expected spacing at all times; null where nothing is promised between runs. */
  readonly everyMs: number | null;
  /** Expected spacing while a run is open: what coverage of a run is judged against. */
  readonly everyInRunMs: number | null;
  readonly resolution: number | null;
  /** What its events say holds for later runs, until another one says otherwise. */
  readonly holds: boolean;
  /** Null where the settings say nothing of it: then it is only asked what every instrument is. */
  readonly instrument: SiteInstrument | null;
  /** What it is asked; null for events. */
  readonly asked: InstrumentPlan | null;
}

export interface SiteInstrument extends InstrumentSettings {
  /** Day of its last calibration. */
  readonly calibrated: string | null;
  /** How long a calibration holds. */
  readonly calibrateEveryMs: number | null;
}

/** One feature of one station and how it is charted; a characteristic follows for each part where `byPart`. */
export interface CharacteristicPlan {
  readonly feature: string;
  readonly settings: Readonly<Record<string, number>>;
  /** How a person writes it down; null where it follows from readings. */
  readonly byHand: ByHand | null;
  /** Which of the station's further kinds of run it is of; null for the first. */
  readonly runKind: string | null;
  readonly runWord: string;
  /** Words of a run's context that each have a chart of their own; none where all runs share one. */
  readonly by: readonly string[];
  /** For what `chartOf` names. */
  characteristic(part: string | null): Characteristic;
  /** Parts named in the settings, so that their charts stand before their first run. */
  readonly parts: readonly string[];
}

/** A value without a sensor: what its field asks for. */
export interface ByHand {
  readonly unit: string;
  readonly values: number;
  readonly plausible: { readonly lower: number; readonly upper: number } | null;
  readonly how: string | null;
}
