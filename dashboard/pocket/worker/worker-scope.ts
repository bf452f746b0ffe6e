/** As much of the service worker's world as we use: the page's types, which the compiler has, do not hold it. */
export interface WorkerScope {
  readonly registration: ServiceWorkerRegistration;
  readonly clients: {
    matchAll(options: { type: "window"; includeUncontrolled: boolean }): Promise<readonly WindowClient[]>;
    openWindow(url: string): Promise<unknown>;
    claim(): Promise<void>;
  };
  skipWaiting(): Promise<void>;
  addEventListener<K extends keyof WorkerEvents>(type: K, listener: (event: WorkerEvents[K]) => void): void;
}

export interface WindowClient {
  readonly url: string;
  focus(): Promise<unknown>;
  navigate(url: string): Promise<unknown>;
  postMessage(message: unknown): void;
}

interface WorkerEvents {
  readonly install: Extendable;
  readonly activate: Extendable;
  readonly push: Extendable & { readonly data: { json(): unknown } | null };
  readonly notificationclick: Extendable & { readonly notification: Notification; readonly action: string };
  readonly fetch: Extendable & { readonly request: Request; respondWith(answer: Promise<Response>): void };
  readonly sync: Extendable & { readonly tag: string };
}

interface Extendable {
  waitUntil(work: Promise<unknown>): void;
}

/** What notifications may be asked for beside what the page's types know. */
export interface ShownOptions extends NotificationOptions {
  readonly renotify: boolean;
  readonly timestamp: number;
  readonly actions: readonly { readonly action: string; readonly title: string }[];
}
