import type { WireMessageSetUp, WireSubscribed } from "../../api/contract/message-wire.ts";
import { ask } from "../client/ask.ts";
import { type OwnDevice, put } from "./pocket-store.ts";
import {
  noAnswer,
  notAllowed,
  type Reason,
  type Surroundings,
  subscribeFailed,
  workerFailed,
} from "./set-up-reason.ts";

/** A push service that has not answered by then is said not to answer. */
const PATIENCE_MS = 10_000;

export function surroundings(setUp: WireMessageSetUp): Surroundings {
  const phone = navigator as Navigator & { readonly standalone?: boolean };
  const installed = phone.standalone === true || matchMedia("(display-mode: standalone)").matches;
  return {
    secure: isSecureContext,
    worker: "serviceWorker" in navigator,
    push: "PushManager" in globalThis && "Notification" in globalThis,
    // Only browsers that have home-screen pages of this kind know the word at all.
    needsInstalling: phone.standalone !== undefined && navigator.maxTouchPoints > 0,
    installed,
    permission: "Notification" in globalThis ? Notification.permission : "default",
    on: setUp.on,
    persons: setUp.persons.filter(({ hasPin }) => hasPin).length,
  };
}

export interface Asked {
  readonly person: string;
  readonly personName: string;
  /** Empty where the person is signed in here. */
  readonly pin: string;
  readonly name: string;
  readonly publicKey: string;
}

/** Subscribes this browser and tells the server. What is in the way comes back in words; a server's no is thrown. */
export async function subscribeThis(asked: Asked): Promise<Reason | null> {
  if ((await Notification.requestPermission()) !== "granted") return notAllowed;
  const registration = await registered();
  if ("code" in registration) return registration;
  const subscription = await subscribed(registration, asked.publicKey);
  if ("code" in subscription) return subscription;
  const { endpoint, keys } = subscription.toJSON();
  const answer = await ask<WireSubscribed>("/api/subscriptions", {
    ...(asked.pin === "" ? {} : { by: asked.person, pin: asked.pin }),
    ...{ name: asked.name, subscription: { endpoint, keys } },
  });
  const { id } = answer.device;
  const { person, personName, name, publicKey } = asked;
  const device: OwnDevice = {
    id,
    secret: answer.secret,
    person,
    personName,
    name,
    publicKey,
    endpoint: endpoint ?? "",
  };
  await put("device", device);
  return null;
}

export async function registered(): Promise<ServiceWorkerRegistration | Reason> {
  try {
    await navigator.serviceWorker.register("/pocket-worker.js", { scope: "/pocket" });
    return await within(navigator.serviceWorker.ready);
  } catch (error) {
    return workerFailed(error instanceof Error ? error.message : String(error));
  }
}

/** An old subscription to another key must go first: a browser changes none. */
async function subscribed(registration: ServiceWorkerRegistration, key: string): Promise<PushSubscription | Reason> {
  try {
    const { pushManager } = registration;
    const before = await pushManager.getSubscription();
    if (before !== null) {
      if (keyOf(before) === key) return before;
      await before.unsubscribe();
    }
    return await within(pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: bytesOf(key) }));
  } catch (error) {
    if (error instanceof TooLate) return noAnswer;
    const { name, message } = error instanceof Error ? error : new Error(String(error));
    return subscribeFailed(name, message);
  }
}

/** Whether this phone is still what the server knows: browsers give a new subscription without asking. */
export async function isStale(device: OwnDevice, publicKey: string | null): Promise<boolean> {
  const registration = await navigator.serviceWorker?.getRegistration("/pocket");
  const subscription = (await registration?.pushManager?.getSubscription()) ?? null;
  return subscription === null || subscription.endpoint !== device.endpoint || device.publicKey !== publicKey;
}

class TooLate extends Error {}

function within<T>(work: Promise<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new TooLate("no answer within 10 s")), PATIENCE_MS);
    work.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

function keyOf(subscription: PushSubscription): string {
  const key = subscription.options.applicationServerKey;
  if (key === null) return "";
  const text = btoa(String.fromCharCode(...new Uint8Array(key)));
  return text.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

function bytesOf(base64url: string): Uint8Array<ArrayBuffer> {
  const text = atob(base64url.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
