import { createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject, sign } from "node:crypto";

/** The key that says which server a message comes from; never one that messages are encrypted with. */
export interface VapidKey {
  readonly privateKey: KeyObject;
  /** Uncompressed point as base64url: what a browser subscribes with. */
  readonly publicKey: string;
}

const HOUR_S = 3600;
/** RFC 8292 allows 24 hours; half of it leaves room for clocks that differ. */
const VALID_S = 12 * HOUR_S;

/** A new key as PEM, to be kept as a secret. */
export function newVapidKey(): string {
  const { privateKey } = generateKeyPairSync("ec", { namedCurve: "prime256v1" });
  return privateKey.export({ type: "pkcs8", format: "pem" }).toString();
}

/** Reads a key from PEM; a RangeError when it is none of P-256. */
export function readVapidKey(pem: string): VapidKey {
  const privateKey = createPrivateKey(pem);
  const { crv, x, y } = createPublicKey(privateKey).export({ format: "jwk" });
  if (crv !== "P-256" || x === undefined || y === undefined) throw new RangeError("a VAPID key must be of P-256");
  const point = Buffer.concat([Buffer.from([4]), Buffer.from(x, "base64url"), Buffer.from(y, "base64url")]);
  return { privateKey, publicKey: point.toString("base64url") };
}

/** Header that names the sender to a push service (RFC 8292); tokens are kept and used again while half their time is left. */
export interface VapidSigner {
  authorization(endpoint: string, nowMs: number): string;
}

export function vapidSigner(key: VapidKey, contact: string): VapidSigner {
  if (!/^(mailto:[^@\s]+@[^@\s]+|https:\/\/\S+)$/.test(contact)) {
    throw new RangeError(`a contact must be a mailto: or https: address, got ${contact}`);
  }
  const tokens = new Map<string, { readonly token: string; readonly untilMs: number }>();
  return {
    authorization: (endpoint, nowMs) => {
      const audience = new URL(endpoint).origin;
      let kept = tokens.get(audience);
      if (kept === undefined || kept.untilMs <= nowMs) {
        const exp = Math.floor(nowMs / 1000) + VALID_S;
        kept = { token: token(key, { aud: audience, exp, sub: contact }), untilMs: nowMs + (VALID_S / 2) * 1000 };
        tokens.set(audience, kept);
      }
      return `vapid t=${kept.token}, k=${key.publicKey}`;
    },
  };
}

/** ES256 as JOSE wants it: the two numbers side by side, not DER. */
function token({ privateKey }: VapidKey, claims: Readonly<Record<string, string | number>>): string {
  const part = (value: unknown): string => Buffer.from(JSON.stringify(value)).toString("base64url");
  const text = `${part({ typ: "JWT", alg: "ES256" })}.${part(claims)}`;
  const signature = sign("sha256", Buffer.from(text), { key: privateKey, dsaEncoding: "ieee-p1363" });
  return `${text}.${signature.toString("base64url")}`;
}
