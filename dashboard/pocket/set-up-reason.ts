/** Why this phone cannot get messages, each in its own words. */
export interface Reason {
  readonly code:
    | "insecure"
    | "no-worker"
    | "not-installed"
    | "no-push"
    | "messages-off"
    | "nobody"
    | "not-allowed"
    | "no-answer"
    | "phone-cannot-reach"
    | "worker-failed";
  readonly words: string;
  readonly doThis: string;
}

/** What the browser and the server say of themselves. */
export interface Surroundings {
  readonly secure: boolean;
  readonly worker: boolean;
  readonly push: boolean;
  /** Phones of one maker give messages to pages on the home screen alone. */
  readonly needsInstalling: boolean;
  readonly installed: boolean;
  readonly permission: "default" | "granted" | "denied";
  readonly on: boolean;
  readonly persons: number;
}

/** The first thing in the way, or null when nothing is. The order is that in which a person can put them right. */
export function reasonAgainst(around: Surroundings): Reason | null {
  if (!around.on) {
    return {
      code: "messages-off",
      words: "This server sends no messages.",
      doThis: "Whoever keeps the settings puts messages.contact into them and starts the server anew.",
    };
  }
  if (around.persons === 0) {
    return {
      code: "nobody",
      words: "Nobody in the settings has a PIN, so nobody's messages can be asked for.",
      doThis: "Whoever keeps the settings adds persons, each with a PIN.",
    };
  }
  if (!around.secure) {
    return {
      code: "insecure",
      words: "This address is plain HTTP, and phones take messages over https alone.",
      doThis: "Ask for the https address of this server. It needs a certificate that the phone trusts.",
    };
  }
  if (around.needsInstalling && !around.installed) {
    return {
      code: "not-installed",
      words: "This page is not on the home screen, and this phone gives messages only to pages that are.",
      doThis: "Share, then Add to Home Screen; then open it from there and come back to this page.",
    };
  }
  if (!around.worker) {
    return {
      code: "no-worker",
      words: "This browser runs nothing in the background, as private windows do not either.",
      doThis: "Open this page in an ordinary window, or in another browser.",
    };
  }
  if (!around.push) {
    return {
      code: "no-push",
      words: "This browser takes no push messages.",
      doThis: "Open this page in another browser of this phone.",
    };
  }
  if (around.permission === "denied") return notAllowed;
  return null;
}

export const notAllowed: Reason = {
  code: "not-allowed",
  words: "Messages from this page are not allowed on this phone.",
  doThis: "Allow notifications for this site in the browser's or the phone's settings, then load this page again.",
};

export const noAnswer: Reason = {
  code: "no-answer",
  words: "No answer within 10 s from the push service of this browser's maker.",
  doThis: "Is this phone on the internet? A plant's network may keep it from there. Try again on another network.",
};

/** The browser was answered, and could not subscribe. */
export function subscribeFailed(name: string, detail: string): Reason {
  if (name === "NotAllowedError") return notAllowed;
  return {
    code: "phone-cannot-reach",
    words: `The push service of this browser's maker was not reached, or refused: ${detail}`,
    doThis: "Is this phone on the internet? Try again, or on another network.",
  };
}

export function workerFailed(detail: string): Reason {
  return {
    code: "worker-failed",
    words: `What shows messages could not be started on this phone: ${detail}`,
    doThis: "Load this page again. If the certificate of this server is not trusted by the phone, that is the cause.",
  };
}
