import type { PushedData } from "../../spc/model/pushed.ts";

/** What this phone keeps by itself: it must show and answer when the plant cannot be reached. Worker and page share it. */
export interface OwnDevice {
  readonly id: string;
  readonly secret: string;
  readonly person: string;
  readonly personName: string;
  readonly name: string;
  readonly endpoint: string;
  /** The server's key it subscribed with: with another one nothing arrives. */
  readonly publicKey: string;
}

/** A message as it came, newest of its flag. */
export interface KeptCard {
  readonly flag: string;
  readonly data: PushedData;
  readonly receivedMs: number;
  readonly shownMs: number;
}

/** *Take it*, from the press until the server's answer. */
export interface KeptTake {
  readonly flag: string;
  readonly by: string;
  readonly pressedMs: number;
  readonly state: "not-sent" | "sent" | "refused";
  /** Of the server, when it refused. */
  readonly why: string | null;
  readonly answeredMs: number | null;
}

/** A report that the server has not heard yet. */
export interface KeptReport {
  readonly key: string;
  readonly path: string;
  readonly device: string;
  readonly token: string;
}

interface Stores {
  readonly device: OwnDevice;
  readonly cards: KeptCard;
  readonly takes: KeptTake;
  readonly reports: KeptReport;
}

const keys: Readonly<Record<keyof Stores, string | null>> = {
  device: null,
  cards: "flag",
  takes: "flag",
  reports: "key",
};

export function getAll<S extends keyof Stores>(store: S): Promise<readonly Stores[S][]> {
  return inStore<Stores[S][]>(store, "readonly", (one) => one.getAll() as IDBRequest<Stores[S][]>);
}

export function getOne<S extends keyof Stores>(store: S, key: string): Promise<Stores[S] | undefined> {
  return inStore(store, "readonly", (one) => one.get(key) as IDBRequest<Stores[S] | undefined>);
}

export async function put<S extends keyof Stores>(store: S, value: Stores[S]): Promise<void> {
  await inStore(store, "readwrite", (one) => (keys[store] === null ? one.put(value, "own") : one.put(value)));
}

export async function remove(store: keyof Stores, key: string): Promise<void> {
  await inStore(store, "readwrite", (one) => one.delete(key));
}

/** The secret of its subscription lets a phone look and take flags for its person. */
export function proofOf(device: OwnDevice | undefined): string | null {
  return device === undefined ? null : `Device ${device.id}.${device.secret}`;
}

export function ownDevice(): Promise<OwnDevice | undefined> {
  return getOne("device", "own");
}

async function inStore<T>(
  store: keyof Stores,
  mode: IDBTransactionMode,
  work: (store: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  const db = await opened();
  try {
    return await new Promise<T>((resolve, reject) => {
      const transaction = db.transaction(store, mode);
      const request = work(transaction.objectStore(store));
      // What is written counts when it is on disk, not when it was asked for.
      transaction.oncomplete = () => resolve(request.result);
      transaction.onabort = () => reject(transaction.error);
      transaction.onerror = () => reject(transaction.error);
    });
  } finally {
    db.close();
  }
}

function opened(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open("steadypour-pocket", 1);
    request.onupgradeneeded = () => {
      for (const [name, keyPath] of Object.entries(keys)) {
        request.result.createObjectStore(name, keyPath === null ? {} : { keyPath });
      }
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
