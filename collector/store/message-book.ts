/** Where a subscription's messages go to, as the browser gave it. */
export interface DeviceAddress {
  readonly endpoint: string;
  readonly p256dh: string;
  readonly auth: string;
}

/** A phone that somebody set up. */
export interface Device {
  readonly id: string;
  readonly person: string;
  /** What its owner calls it: `Phone`. */
  readonly name: string;
  /** What the device proves itself with: it reports and tries without a PIN. */
  readonly secret: string;
  /** Null once it is gone: where it was is forgotten. */
  readonly address: DeviceAddress | null;
  readonly addedMs: number;
  readonly goneMs: number | null;
  readonly goneWhy: GoneReason | null;
}

/** `service`: the push service says that it is no more. `person`: somebody took it off. */
export type GoneReason = "service" | "person";

/** What became of one message on one device: each state has its own time, and none stands for another. */
export interface Delivery {
  readonly message: string;
  /** Empty where the person has no device. */
  readonly device: string;
  readonly queuedMs: number;
  readonly expiresMs: number;
  /** When it is tried next; null when it will not be. */
  readonly dueMs: number | null;
  readonly attempts: number;
  /** Newest attempt. */
  readonly sentMs: number | null;
  /** What the newest attempt was answered, in words: `429`, `no answer`. */
  readonly answer: string | null;
  /** The push service has it: nothing more is known then. */
  readonly acceptedMs: number | null;
  /** The phone's worker said so. */
  readonly shownMs: number | null;
  readonly openedMs: number | null;
  readonly failedMs: number | null;
  readonly reason: FailReason | null;
}

export type FailReason =
  /** The person has no device that could be reached. */
  | "no-device"
  /** The push service says that the device is no more. */
  | "gone"
  /** Nothing was answered before the message had lost its worth. */
  | "expired"
  /** The push service was never reached. */
  | "unreachable"
  /** All attempts were answered with trouble of the service's own. */
  | "service-trouble"
  /** The service does not let this server in: key, clock or contact. */
  | "not-allowed"
  /** The service refused what we sent: our own defect. */
  | "refused";

/** A message and a device that it should reach; a person without any gets one row that says so. */
export interface NewDelivery {
  readonly message: string;
  readonly device: string;
  readonly queuedMs: number;
  readonly expiresMs: number;
}

/** Devices and deliveries, beside the journal and in its file: unlike entries they change. Each call is one transaction. */
export interface MessageBook {
  /** The same endpoint again is the same device, with what is new of it. Returns it as it now stands. */
  addDevice(device: Omit<Device, "goneMs" | "goneWhy" | "address"> & { readonly address: DeviceAddress }): Device;
  device(id: string): Device | undefined;
  devices(): readonly Device[];
  /** Forgets where it was, and fails what was still to go there. */
  removeDevice(id: string, why: GoneReason, nowMs: number): void;

  /** What is there already stays as it is. */
  queue(deliveries: readonly NewDelivery[]): void;
  /** Whose time has come, the most urgent that is the oldest first. */
  due(nowMs: number, most: number): readonly Delivery[];
  /** When the next one is due, or null. */
  nextDueMs(): number | null;
  /** Notes an attempt before it is made, so that a process that dies in it knows; due again at `againMs` unless settled. */
  attempt(message: string, device: string, nowMs: number, againMs: number): void;
  accepted(message: string, device: string, nowMs: number, answer: string, expiresMs: number): void;
  again(message: string, device: string, answer: string, dueMs: number): void;
  failed(message: string, device: string, nowMs: number, reason: FailReason, answer: string | null): void;
  /** The first report counts; false when there is no such delivery. A phone that shows it has it, whatever was answered. */
  reported(message: string, device: string, what: "shown" | "opened", nowMs: number): boolean;
  ofMessages(messages: readonly string[]): readonly Delivery[];
  /** Newest first. */
  ofDevice(device: string, most: number): readonly Delivery[];
  close(): void;
}
