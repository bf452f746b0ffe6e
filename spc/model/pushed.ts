import type { MessageCard } from "./message.ts";
import type { FlagLabel } from "./signal.ts";

/** What a phone gets, whole: enough to show and to answer without asking the plant first. */
export interface Pushed {
  /** The shape that some phones show by themselves where the worker fails (declarative push: `web_push` 8030). */
  readonly web_push: 8030;
  readonly notification: {
    readonly title: string;
    readonly body: string;
    readonly navigate: string;
    /** The flag: a later message about it takes the place of this one. */
    readonly tag: string;
    readonly data: PushedData;
  };
}

export interface PushedData {
  readonly message: string;
  readonly device: string;
  /** Lets the worker report without a PIN; good for this message on this device alone. */
  readonly token: string;
  readonly flag: string | null;
  readonly label: FlagLabel;
  /** Shown without sound, and asks for nothing. */
  readonly quiet: boolean;
  readonly card: MessageCard;
}
